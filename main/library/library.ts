import { basename, join } from 'node:path';
import type { Database } from 'better-sqlite3';
import { ok, type Result } from '../../shared-core/result.ts';
import { Arrangements } from './arrangements.ts';
import {
  type Backup,
  backUp,
  backupFolder,
  backupName,
  backupsOf,
  pruneBackups,
} from './backup.ts';
import { Bands } from './bands.ts';
import { emptyBin } from './bin.ts';
import { connect } from './connection.ts';
import type { LibraryError } from './errors.ts';
import { idMaker, type MakeId } from './ids.ts';
import { Meta } from './meta.ts';
import { migrate } from './migrate.ts';
import { Setlists } from './setlists.ts';
import { Taste } from './taste.ts';
import { transact } from './transact.ts';
import { Tunes } from './tunes.ts';

/** What the library takes from the machine; tests give their own. */
export interface LibraryPorts {
  /** Milliseconds since 1970. */
  readonly now: () => number;
  /** So many random bytes. */
  readonly random: (bytes: number) => Uint8Array;
  /** Milliseconds to wait for another program's lock; five seconds when left out. */
  readonly busyTimeout?: number;
}

/** Daily backups kept; backups made before a migration and by hand are never removed. */
const DAILY_BACKUPS = 14;

/** An open library. */
export class Library {
  readonly file: string;
  readonly meta: Meta;
  readonly tunes: Tunes;
  readonly arrangements: Arrangements;
  readonly bands: Bands;
  readonly setlists: Setlists;
  readonly taste: Taste;
  readonly makeId: MakeId;
  /** The present moment as the library writes it. */
  readonly now: () => string;
  readonly #db: Database;

  constructor(db: Database, file: string, ports: LibraryPorts) {
    this.#db = db;
    this.file = file;
    this.now = () => new Date(ports.now()).toISOString();
    this.makeId = idMaker(ports.now, ports.random);
    this.meta = new Meta(db);
    this.taste = new Taste(db, this.now);
    this.tunes = new Tunes(db, this.now, this.makeId);
    this.arrangements = new Arrangements(db, this.now, this.makeId, this.taste);
    this.bands = new Bands(db, this.now, this.meta);
    this.setlists = new Setlists(db, this.now, this.makeId);
  }

  /** File name without its folder. */
  get name(): string {
    return basename(this.file);
  }

  /** Runs work of several tables as one transaction. */
  transact<T, E>(work: () => Result<T, E>): Result<T, E> {
    return transact(this.#db, work);
  }

  /** See {@link emptyBin}. */
  emptyBin(): number {
    return emptyBin(this.#db);
  }

  /** Makes a checked backup now. `why` is part of its name: `hand`, `daily`. */
  backUp(why: string): Promise<Result<Backup, LibraryError>> {
    return backUp(this.#db, join(backupFolder(this.file), backupName(this.file, this.now(), why)));
  }

  /** Makes the backup of the day when there is none yet, and lets go of those older than a fortnight of use. */
  async backUpDaily(): Promise<Result<Backup | null, LibraryError>> {
    const today = this.now().slice(0, 10).replaceAll('-', '');
    if (backupsOf(this.file, 'daily').some((name) => name.includes(`-${today}T`))) return ok(null);
    const made = await this.backUp('daily');
    if (made.ok) pruneBackups(this.file, 'daily', DAILY_BACKUPS);
    return made;
  }

  /** What a full check says: empty when the library is sound. */
  faults(): readonly string[] {
    const pages = this.#db.pragma('integrity_check') as { integrity_check: string }[];
    const orphans = this.#db.pragma('foreign_key_check') as { table: string }[];
    return [
      ...pages.map((row) => row.integrity_check).filter((text) => text !== 'ok'),
      ...orphans.map((row) => `a row of ${row.table} without its parent`),
    ];
  }

  /** Counts for the check's report. */
  counts(): Readonly<Record<'tunes' | 'arrangements' | 'decisions' | 'setlists', number>> {
    const count = (table: string) =>
      this.#db.prepare(`SELECT count(*) FROM ${table}`).pluck().get() as number;
    return {
      tunes: count('tunes'),
      arrangements: count('arrangements'),
      decisions: count('decisions'),
      setlists: count('setlists'),
    };
  }

  /** Version of the library's shape, and of SQLite. */
  versions(): { readonly library: number; readonly sqlite: string } {
    return {
      library: this.#db.pragma('user_version', { simple: true }) as number,
      sqlite: this.#db.prepare('SELECT sqlite_version()').pluck().get() as string,
    };
  }

  /** Writes everything into the one file and lets go of it. */
  close(): void {
    if (!this.#db.open) return;
    try {
      this.#db.pragma('wal_checkpoint(TRUNCATE)');
    } finally {
      this.#db.close();
    }
  }
}

/**
 * Opens a library, making it where there is none and bringing an older one to the present version after
 * a backup. Errors: see {@link connect} and {@link migrate}.
 */
export async function openLibrary(
  file: string,
  ports: LibraryPorts,
): Promise<Result<Library, LibraryError>> {
  const connected = connect(file, ports.busyTimeout);
  if (!connected.ok) return connected;
  const db = connected.value;
  const moment = new Date(ports.now()).toISOString();
  const backupFile = (version: number) =>
    join(backupFolder(file), backupName(file, moment, `before-version-${version + 1}`));
  const migrated = await migrate(db, backupFile);
  if (!migrated.ok) {
    db.close();
    return migrated;
  }
  return ok(new Library(db, file, ports));
}
