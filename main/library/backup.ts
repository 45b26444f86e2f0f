import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { Database } from 'better-sqlite3';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { loadSqlite } from './connection.ts';
import { type LibraryError, libraryError } from './errors.ts';

/** A backup that was made. */
export interface Backup {
  readonly file: string;
  readonly name: string;
  readonly bytes: number;
}

/** Folder of a library's backups, beside it. */
export function backupFolder(libraryFile: string): string {
  return join(dirname(libraryFile), 'backups');
}

/**
 * Name of a backup: the library's name, the moment to the second, and why it was made.
 *
 * @example backupName('/x/library.changewright', '2025-03-01T19:30:00.000Z', 'daily')
 *   // 'library-20250301T193000Z-daily.changewright'
 */
export function backupName(libraryFile: string, moment: string, why: string): string {
  const stamp = `${moment.slice(0, 19).replaceAll(/[-:]/gu, '')}Z`;
  const base = basename(libraryFile);
  const dot = base.lastIndexOf('.');
  const [stem, ending] = dot > 0 ? [base.slice(0, dot), base.slice(dot)] : [base, ''];
  return `${stem}-${stamp}-${why}${ending}`;
}

/**
 * Copies a live library page by page into a temporary file, reads the copy through from end to end, and
 * only then gives it its name: a backup with a name is a backup that can be opened.
 */
export async function backUp(db: Database, file: string): Promise<Result<Backup, LibraryError>> {
  const temporary = `${file}.part`;
  try {
    mkdirSync(dirname(file), { recursive: true });
    rmSync(temporary, { force: true });
    await db.backup(temporary);
    const verdict = integrityOf(temporary);
    if (verdict !== 'ok') throw new Error(verdict);
    renameSync(temporary, file);
    return ok({ file, name: basename(file), bytes: statSync(file).size });
  } catch (thrown) {
    if (existsSync(temporary)) rmSync(temporary);
    const detail = thrown instanceof Error ? thrown.message : String(thrown);
    return err(libraryError('library/backup', { file: basename(file), detail }));
  }
}

/**
 * What SQLite's full check says of a file that nobody has open: `ok`, or the first thing that is wrong.
 * Leaves the file without a write-ahead log, so that it is one file to copy away.
 */
export function integrityOf(file: string): string {
  const db = new (loadSqlite())(file);
  try {
    db.pragma('journal_mode = DELETE');
    return db.pragma('integrity_check(1)', { simple: true }) as string;
  } finally {
    db.close();
  }
}

/** Backups made for one reason, oldest first. */
export function backupsOf(libraryFile: string, why: string): readonly string[] {
  const folder = backupFolder(libraryFile);
  let names: readonly string[];
  try {
    names = readdirSync(folder);
  } catch (thrown) {
    if (thrown instanceof Error && 'code' in thrown && thrown.code === 'ENOENT') return [];
    throw thrown;
  }
  const [before = '', after = ''] = backupName(libraryFile, '0000-00-00T00:00:00', why).split(
    '00000000T000000Z',
  );
  return names.filter((name) => name.startsWith(before) && name.endsWith(after)).sort();
}

/** Removes the oldest backups made for one reason, so that `keep` are left. */
export function pruneBackups(libraryFile: string, why: string, keep: number): void {
  const names = backupsOf(libraryFile, why);
  for (const name of names.slice(0, Math.max(0, names.length - keep))) {
    rmSync(join(backupFolder(libraryFile), name));
  }
}
