import { err, ok, type Result } from '../../shared-core/result.ts';
import { readAbc } from './abc/read.ts';
import { decodeText } from './decode.ts';
import { errorOf, type ImportError, Refusal } from './errors.ts';
import type { ImportedTune } from './finish.ts';
import { LIMITS } from './limits.ts';
import { readMidi } from './midi/read.ts';
import { scoreInContainer } from './musicxml/container.ts';
import { readMusicXml } from './musicxml/read.ts';
import { readTuneText } from './text-tune.ts';

/** Reads any file that can be read, by what is in it. Runs to its end at once; see `importFile`. */
export function readFile(
  name: string,
  bytes: Uint8Array,
): Result<readonly ImportedTune[], ImportError> {
  try {
    return ok(readBytes(name, bytes));
  } catch (error) {
    if (error instanceof Refusal) return err(errorOf(name, error));
    throw error;
  }
}

function readBytes(name: string, bytes: Uint8Array): readonly ImportedTune[] {
  if (bytes.length === 0) throw new Refusal('import/empty', 'the file is empty.');
  if (bytes.length > LIMITS.fileBytes) {
    const most = Math.floor(LIMITS.fileBytes / 1024 / 1024);
    throw new Refusal(
      'import/too-large',
      `it is larger than ${most} MB. Choose a file that holds a tune.`,
    );
  }
  if (startsWith(bytes, 'PK\u0003\u0004') || startsWith(bytes, 'PK\u0005\u0006')) {
    return [readMusicXml(decodeText(scoreInContainer(bytes)).text)];
  }
  if (startsWith(bytes, 'MThd') || startsWith(bytes, 'RIFF')) return [readMidi(bytes, name)];
  return readText(name, bytes);
}

function startsWith(bytes: Uint8Array, text: string): boolean {
  return [...text].every((character, i) => bytes[i] === character.charCodeAt(0));
}

function readText(name: string, bytes: Uint8Array): readonly ImportedTune[] {
  const { text, guessed } = decodeText(bytes);
  const start = text.replace(/^\uFEFF/u, '').trimStart();
  const isText = !isData(text);
  if (isText && start.startsWith('<')) return [readMusicXml(text.trimStart())];
  if (/\.midi?$/iu.test(name)) {
    throw new Refusal(
      'import/midi',
      'it is not a MIDI file, whatever its name says. Choose the MIDI file itself.',
    );
  }
  if (isText && isAbc(text)) return readAbc(text).map((tune) => withGuess(tune, guessed));
  if (isText && /\|/u.test(text)) return [withGuess(readTuneText(text), guessed)];
  throw new Refusal(
    'import/unknown-format',
    'it is none of the files that can be read. Choose a tune text, MusicXML (.musicxml, .xml, .mxl), ABC or MIDI file.',
  );
}

/** Characters looked at to tell a text from a program's own data. */
const LOOKED_AT = 4096;

/**
 * Whether this is some program's data and no text: a text has no zero character and hardly any control characters
 * but spaces and line ends (older editors end one with Ctrl-Z).
 */
function isData(text: string): boolean {
  const head = text.slice(0, LOOKED_AT);
  const controls = head.match(/[^\P{Cc}\s]/gu)?.length ?? 0;
  return head.includes('\u0000') || controls > head.length / 100 + 1;
}

/** A tune head with its reference number, or a key line with a title or meter line. */
function isAbc(text: string): boolean {
  if (!/^K:/mu.test(text)) return false;
  return /^X:\s*\d/mu.test(text) || /^[TM]:/mu.test(text);
}

function withGuess(tune: ImportedTune, guessed: boolean): ImportedTune {
  if (!guessed) return tune;
  const warning = 'The text is not UTF-8 and was read as Windows-1252; check letters with accents.';
  return { ...tune, warnings: [warning, ...tune.warnings] };
}
