import type { Database } from 'better-sqlite3';

/** Small facts of the library itself. */
export type MetaKey = 'sample-loaded' | 'current-band' | 'created-with';

/** Reads and writes `meta`. */
export class Meta {
  readonly #db: Database;

  constructor(db: Database) {
    this.#db = db;
  }

  /** The value kept under a key; null when none is. */
  get(key: MetaKey): string | null {
    const value = this.#db.prepare('SELECT value FROM meta WHERE key = ?').pluck().get(key);
    return typeof value === 'string' ? value : null;
  }

  /** Keeps a value under a key. Call inside a transaction. */
  set(key: MetaKey, value: string): void {
    this.#db
      .prepare(
        'INSERT INTO meta (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value',
      )
      .run(key, value);
  }
}
