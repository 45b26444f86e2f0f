import type { Database } from 'better-sqlite3';
import type { SetlistEntryInput } from '../../shared-core/contract/types.ts';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { type LibraryError, libraryError } from './errors.ts';
import type { MakeId } from './ids.ts';
import { transact } from './transact.ts';

/** A set list as kept. */
export interface StoredSetlist {
  readonly id: string;
  readonly name: string;
  readonly createdAt: string;
  readonly changedAt: string;
  readonly binnedAt: string | null;
  readonly entries: readonly SetlistEntryInput[];
}

const HEAD = `SELECT id, name, created_at AS createdAt, changed_at AS changedAt, binned_at AS binnedAt
  FROM setlists`;

/** The set lists of a library. */
export class Setlists {
  readonly #db: Database;
  readonly #now: () => string;
  readonly #makeId: MakeId;

  constructor(db: Database, now: () => string, makeId: MakeId) {
    this.#db = db;
    this.#now = now;
    this.#makeId = makeId;
  }

  /** Set lists, newest first. */
  list(binned: boolean): readonly StoredSetlist[] {
    const rows = this.#db
      .prepare(`${HEAD} WHERE binned_at IS ${binned ? 'NOT' : ''} NULL ORDER BY id DESC`)
      .all() as Omit<StoredSetlist, 'entries'>[];
    return rows.map((row) => ({ ...row, entries: this.#entries(row.id) }));
  }

  /** One set list, also from the bin. */
  get(id: string): Result<StoredSetlist, LibraryError> {
    const row = this.#db.prepare(`${HEAD} WHERE id = ?`).get(id) as
      | Omit<StoredSetlist, 'entries'>
      | undefined;
    if (!row) return err(libraryError('library/not-found', { id }));
    return ok({ ...row, entries: this.#entries(id) });
  }

  /** Keeps a set list, new when `id` is null; answers its id. */
  save(
    id: string | null,
    name: string,
    entries: readonly SetlistEntryInput[],
  ): Result<string, LibraryError> {
    return transact(this.#db, () => {
      const head = this.#saveHead(id, name);
      if (!head.ok) return head;
      this.#db.prepare('DELETE FROM setlist_entries WHERE setlist_id = ?').run(head.value);
      for (const [position, entry] of entries.entries()) {
        const added = this.#insertEntry(head.value, position, entry);
        if (!added.ok) return added;
      }
      return head;
    });
  }

  /** Puts a set list into the bin, or back from it. */
  setBinned(id: string, binned: boolean): Result<null, LibraryError> {
    const at = this.#now();
    const done = this.#db
      .prepare('UPDATE setlists SET binned_at = ?, changed_at = ? WHERE id = ?')
      .run(binned ? at : null, at, id);
    return done.changes === 1 ? ok(null) : err(libraryError('library/not-found', { id }));
  }

  #saveHead(id: string | null, name: string): Result<string, LibraryError> {
    const at = this.#now();
    if (id !== null) {
      const done = this.#db
        .prepare('UPDATE setlists SET name = ?, changed_at = ? WHERE id = ?')
        .run(name, at, id);
      return done.changes === 1 ? ok(id) : err(libraryError('library/not-found', { id }));
    }
    const made = this.#makeId();
    this.#db
      .prepare('INSERT INTO setlists (id, name, created_at, changed_at) VALUES (?, ?, ?, ?)')
      .run(made, name, at, at);
    return ok(made);
  }

  #insertEntry(
    setlist: string,
    position: number,
    entry: SetlistEntryInput,
  ): Result<null, LibraryError> {
    const known = this.#db
      .prepare('SELECT 1 FROM arrangements WHERE id = ?')
      .get(entry.arrangementId);
    if (!known) return err(libraryError('library/not-found', { id: entry.arrangementId }));
    const at = this.#now();
    this.#db
      .prepare(
        `INSERT INTO setlist_entries
           (setlist_id, position, arrangement_id, note, pause, created_at, changed_at)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(setlist, position, entry.arrangementId, entry.note, entry.pause, at, at);
    return ok(null);
  }

  #entries(id: string): readonly SetlistEntryInput[] {
    return this.#db
      .prepare(
        `SELECT arrangement_id AS arrangementId, note, pause FROM setlist_entries
         WHERE setlist_id = ? ORDER BY position`,
      )
      .all(id) as SetlistEntryInput[];
  }
}
