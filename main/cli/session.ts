import { existsSync } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import type { ContractError } from '../../shared-core/contract/errors.ts';
import type { OpenContext } from '../app/open.ts';
import type { KnownTune } from '../app/tune-text.ts';
import { defaultLibraryFile, thisMachine } from '../library/location.ts';
import { single, type Typed } from './args.ts';
import { badInput, type Io, need } from './io.ts';

/** Largest file that is looked into at all; readers have stricter limits of their own. */
const LARGEST_FILE = 64 * 1024 * 1024;

/** Opens the library a command names, or the person's own, and closes it again whatever happens. */
export async function withApp<T>(
  typed: Typed,
  io: Io,
  work: (app: OpenContext) => Promise<T>,
): Promise<T> {
  const { openContext } = await import('../app/open.ts');
  const opened = await openContext({
    host: 'loopback',
    libraryFile: libraryNamed(typed),
    sample: false,
    log: (line) => io.err(`${line}\n`),
  });
  const app = need(opened);
  try {
    return await work(app);
  } finally {
    await app.close();
  }
}

/** The library's file. An empty name would open a database that is thrown away, so it is refused. */
export function libraryNamed(typed: Typed, otherwise = defaultLibraryFile(thisMachine())): string {
  const given = single(typed, 'library');
  if (given?.trim() === '') badInput('--library is empty; write the name of a file after it.');
  return given ?? otherwise;
}

/** A tune a command works on, with where it came from. */
export interface GivenTune {
  readonly id: string | null;
  readonly known: KnownTune;
}

type Found =
  | { readonly ok: true; readonly tunes: readonly GivenTune[] }
  | { readonly ok: false; readonly error: ContractError };

/**
 * The tunes behind a word: a file in any format we read (which may hold several), or a tune's id in the
 * library. The library is opened only when the word is no file.
 */
export async function tunesOf(
  word: string,
  openLibrary: () => Promise<OpenContext>,
): Promise<Found> {
  if (existsSync(word)) {
    const read = await readGivenFile(word);
    if (!read.ok) return read;
    return { ok: true, tunes: read.tunes.map((known) => ({ id: null, known })) };
  }
  if (/[./\\]/u.test(word)) {
    return fileError(
      'file/missing',
      word,
      `There is no file ${word}; look at the name and the folder.`,
    );
  }
  const app = await openLibrary();
  const { knownTune } = await import('../app/context.ts');
  const known = knownTune(app.context, word);
  return known.ok ? { ok: true, tunes: [{ id: word, known: known.value }] } : known;
}

type FileTunes =
  | { readonly ok: true; readonly tunes: readonly KnownTune[] }
  | { readonly ok: false; readonly error: ContractError };

async function readGivenFile(path: string): Promise<FileTunes> {
  const bytes = await bytesOf(path);
  if (!bytes.ok) return bytes;
  const works = async () => (await import('../app/workshop.ts')).WORKSHOP;
  const { readFileTunes } = await import('../app/tunes.ts');
  const read = await readFileTunes(works, { name: basename(path), bytes: bytes.bytes });
  return read.ok ? { ok: true, tunes: read.value.tunes } : read;
}

type FileBytes =
  | { readonly ok: true; readonly bytes: Uint8Array }
  | { readonly ok: false; readonly error: ContractError };

/** The bytes of a file a person named; errors say what to do. */
export async function bytesOf(path: string): Promise<FileBytes> {
  try {
    const facts = await stat(path);
    if (!facts.isFile())
      return fileError('file/unreadable', path, `${path} is no file; name a file.`);
    if (facts.size > LARGEST_FILE) {
      return fileError('file/too-large', path, `${path} is larger than 64 MB; that is no tune.`);
    }
    return { ok: true, bytes: await readFile(path) };
  } catch (thrown) {
    const code = (thrown as NodeJS.ErrnoException).code;
    if (code === 'ENOENT') {
      return fileError(
        'file/missing',
        path,
        `There is no file ${path}; look at the name and the folder.`,
      );
    }
    if (code === 'EACCES' || code === 'EPERM') {
      return fileError('file/unreadable', path, `${path} may not be read; change its permissions.`);
    }
    throw thrown;
  }
}

function fileError(
  code: 'file/missing' | 'file/unreadable' | 'file/too-large',
  file: string,
  message: string,
): { readonly ok: false; readonly error: ContractError } {
  return { ok: false, error: { code, place: { file }, message } };
}
