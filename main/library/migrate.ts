import type { Database } from 'better-sqlite3';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { backUp } from './backup.ts';
import { APPLICATION_ID } from './connection.ts';
import { type LibraryError, libraryError } from './errors.ts';
import { MIGRATIONS } from './migrations/index.ts';
import type { Migration } from './migrations/migration.ts';

/**
 * Brings an open library to the latest version, one transaction a step. A library with something in it
 * is backed up first. A step that fails leaves the library at the version before it.
 *
 * @param backupFile where the backup of the old library goes
 */
export async function migrate(
  db: Database,
  backupFile: (version: number) => string,
  migrations: readonly Migration[] = MIGRATIONS,
): Promise<Result<{ readonly from: number; readonly to: number }, LibraryError>> {
  const from = versionOf(db);
  const steps = migrations.filter((migration) => migration.version > from);
  if (from > 0 && steps.length > 0) {
    const backup = await backUp(db, backupFile(from));
    if (!backup.ok) return backup;
  }
  for (const step of steps) {
    const done = runStep(db, step);
    if (!done.ok) return done;
  }
  return ok({ from, to: versionOf(db) });
}

function versionOf(db: Database): number {
  return db.pragma('user_version', { simple: true }) as number;
}

function runStep(db: Database, step: Migration): Result<null, LibraryError> {
  // Off outside the transaction: inside it is ignored, and rebuilding a table would delete its children.
  db.pragma('foreign_keys = OFF');
  try {
    db.exec('BEGIN IMMEDIATE');
    // Another process may have taken this step while we waited for the lock.
    if (versionOf(db) < step.version) {
      db.exec(step.sql);
      const orphans = db.pragma('foreign_key_check') as readonly { readonly table: string }[];
      if (orphans[0])
        throw new Error(`${orphans.length} rows without a parent in ${orphans[0].table}`);
      db.pragma(`application_id = ${APPLICATION_ID}`);
      db.pragma(`user_version = ${step.version}`);
    }
    db.exec('COMMIT');
    return ok(null);
  } catch (thrown) {
    if (db.inTransaction) db.exec('ROLLBACK');
    const detail = thrown instanceof Error ? thrown.message : String(thrown);
    return err(libraryError('library/migration', { to: step.version, name: step.name, detail }));
  } finally {
    db.pragma('foreign_keys = ON');
  }
}
