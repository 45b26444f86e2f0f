import { closeSync, existsSync, mkdirSync, openSync, readSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname } from 'node:path';
import type { Database } from 'better-sqlite3';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { type LibraryError, libraryError, libraryErrorOf } from './errors.ts';
import { LATEST_VERSION } from './migrations/index.ts';

/** Marks the file as ours: `CWlb` in ASCII, kept in SQLite's header (bytes 68-71). */
export const APPLICATION_ID = 0x43576c62;

/** How long a statement waits for another program to let go of the library, in milliseconds. */
export const BUSY_TIMEOUT = 5000;

/** Oldest Node on which the SQLite binding loads instead of crashing. Source: better-sqlite3 13, Node-API 10. */
const OLDEST_NODE: readonly [number, number] = [22, 14];

type DatabaseClass = new (
  file: string,
  options?: { readonly?: boolean; timeout?: number },
) => Database;

/**
 * Loads the SQLite binding, after making sure that this Node can: an older one would die by a segmentation
 * fault, without a word. Throws on an older Node.
 */
export function loadSqlite(version: string = process.versions.node): DatabaseClass {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  if (major < OLDEST_NODE[0] || (major === OLDEST_NODE[0] && minor < OLDEST_NODE[1])) {
    throw new Error(
      `Node ${version} cannot open the library; Node ${OLDEST_NODE.join('.')} or newer is needed`,
    );
  }
  return createRequire(import.meta.url)('better-sqlite3') as DatabaseClass;
}

/**
 * Opens a library file, making its folder and an empty file where there is none, and sees whether it is
 * ours, whole, and not from a newer program. Migrating is the caller's next step.
 *
 * Errors: `library/foreign`, `library/newer` (with both versions), `library/damaged`, `library/busy`,
 * `library/unwritable`.
 */
export function connect(file: string, busyTimeout = BUSY_TIMEOUT): Result<Database, LibraryError> {
  const Sqlite = loadSqlite();
  let db: Database | null = null;
  try {
    mkdirSync(dirname(file), { recursive: true });
    if (!looksLikeSqlite(file)) return err(libraryError('library/foreign', { file }));
    db = new Sqlite(file, { timeout: busyTimeout });
    const refused = refusal(db, file);
    if (refused) {
      db.close();
      return err(refused);
    }
    setUp(db);
    return ok(db);
  } catch (thrown) {
    db?.close();
    const error = libraryErrorOf(thrown) ?? fileErrorOf(thrown);
    if (!error) throw thrown;
    return err(libraryError(error.code, { ...error.data, file }));
  }
}

/** A file of another kind is told apart before SQLite touches it. An empty file is a library to be. */
function looksLikeSqlite(file: string): boolean {
  if (!existsSync(file)) return true;
  const handle = openSync(file, 'r');
  try {
    const head = Buffer.alloc(16);
    const read = readSync(handle, head, 0, 16, 0);
    return read === 0 || head.toString('latin1') === 'SQLite format 3\0';
  } finally {
    closeSync(handle);
  }
}

function refusal(db: Database, file: string): LibraryError | null {
  const application = db.pragma('application_id', { simple: true }) as number;
  const version = db.pragma('user_version', { simple: true }) as number;
  const objects = db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get() as number;
  if (application !== APPLICATION_ID && !(application === 0 && objects === 0)) {
    return libraryError('library/foreign', { file });
  }
  if (version > LATEST_VERSION) {
    return libraryError('library/newer', { file, version, known: LATEST_VERSION });
  }
  const check = db.pragma('quick_check(1)', { simple: true }) as string;
  return check === 'ok' ? null : libraryError('library/damaged', { file, detail: check });
}

/**
 * Sources: sqlite.org/pragma.html and sqlite.org/security.html. `synchronous` is set after the journal
 * mode, because the binding lowers it in WAL: a decision that was answered must be on the disk.
 */
function setUp(db: Database): void {
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.pragma('foreign_keys = ON');
  db.pragma('trusted_schema = OFF');
  db.pragma('cell_size_check = ON');
}

function fileErrorOf(thrown: unknown): LibraryError | null {
  const code = thrown instanceof Error && 'code' in thrown ? String(thrown.code) : '';
  if (!/^E[A-Z]+$/u.test(code)) return null;
  return libraryError(code === 'ENOSPC' ? 'library/full' : 'library/unwritable', { detail: code });
}
