import type { Database } from 'better-sqlite3';
import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import { ok } from '../../shared-core/result.ts';
import type { Meta } from './meta.ts';
import { transact } from './transact.ts';

/** The bands of a library; one of them is the present one. */
export class Bands {
  readonly #db: Database;
  readonly #now: () => string;
  readonly #meta: Meta;

  constructor(db: Database, now: () => string, meta: Meta) {
    this.#db = db;
    this.#now = now;
    this.#meta = meta;
  }

  /** The present band; null while none was saved. */
  current(): Band | null {
    const id = this.#meta.get('current-band');
    if (id === null) return null;
    const name = this.#db.prepare('SELECT name FROM bands WHERE id = ?').pluck().get(id);
    if (typeof name !== 'string') return null;
    const chairs = this.#db
      .prepare(
        `SELECT id, name, instrument, role, position AS "order" FROM chairs
         WHERE band_id = ? ORDER BY position`,
      )
      .all(id) as Chair[];
    return { id, name, chairs };
  }

  /** Keeps a band and makes it the present one. */
  save(band: Band): void {
    transact(this.#db, () => {
      this.write(band);
      return ok(null);
    });
  }

  /** As {@link save}, inside a transaction of the caller. */
  write(band: Band): void {
    const at = this.#now();
    this.#db
      .prepare(
        `INSERT INTO bands (id, name, created_at, changed_at) VALUES (@id, @name, @at, @at)
         ON CONFLICT (id) DO UPDATE SET name = @name, changed_at = @at`,
      )
      .run({ id: band.id, name: band.name, at });
    const kept = new Set(band.chairs.map((chair) => chair.id));
    const stored = this.#db
      .prepare('SELECT id FROM chairs WHERE band_id = ?')
      .pluck()
      .all(band.id) as string[];
    for (const id of stored.filter((chair) => !kept.has(chair))) {
      this.#db.prepare('DELETE FROM chairs WHERE band_id = ? AND id = ?').run(band.id, id);
    }
    for (const chair of band.chairs) this.#writeChair(band.id, chair, at);
    this.#meta.set('current-band', band.id);
  }

  #writeChair(band: string, chair: Chair, at: string): void {
    this.#db
      .prepare(
        `INSERT INTO chairs (band_id, id, name, instrument, role, position, created_at, changed_at)
         VALUES (@band, @id, @name, @instrument, @role, @order, @at, @at)
         ON CONFLICT (band_id, id) DO UPDATE SET name = @name, instrument = @instrument, role = @role,
           position = @order, changed_at = @at`,
      )
      .run({ ...chair, band, at });
  }
}
