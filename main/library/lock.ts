import { mkdirSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Database } from 'better-sqlite3';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { loadSqlite } from './connection.ts';
import { type LibraryError, libraryError, libraryErrorOf } from './errors.ts';

/** A held lock. */
export interface HostLock {
  release(): void;
}

/**
 * Makes this process the only window on a library: two windows would each show what the other has changed.
 * The lock is SQLite's own on a small file beside the library, so the system lets go of it however the
 * process ends. Commands on the command line do not take it. Error: `library/in-use`.
 */
export function lockForHost(libraryFile: string): Result<HostLock, LibraryError> {
  let db: Database | null = null;
  try {
    mkdirSync(dirname(libraryFile), { recursive: true });
    db = new (loadSqlite())(`${libraryFile}.lock`, { timeout: 0 });
    db.pragma('journal_mode = MEMORY');
    db.pragma('locking_mode = EXCLUSIVE');
    db.exec('BEGIN EXCLUSIVE');
    const held = db;
    return ok({ release: () => held.close() });
  } catch (thrown) {
    db?.close();
    const error = libraryErrorOf(thrown);
    if (!error) throw thrown;
    const code = error.code === 'library/busy' ? 'library/in-use' : error.code;
    return err(libraryError(code, { file: libraryFile }));
  }
}
