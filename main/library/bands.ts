import type { Database } from 'better-sqlite3';
import type { Band, Chair, VoicingWish } from '../../shared-core/arrangement/band.ts';
import type { KeySpelling } from '../../shared-core/pitch/instruments.ts';
import { type Pitch, parsePitch } from '../../shared-core/pitch/spelled.ts';
import { tuningText } from '../../shared-core/pitch/strings.ts';
import { ok } from '../../shared-core/result.ts';
import type { Meta } from './meta.ts';
import { transact } from './transact.ts';

/** A chair as its row has it. */
interface ChairRow {
  readonly id: string;
  readonly name: string;
  readonly instrument: string;
  readonly role: Chair['role'];
  readonly order: number;
  readonly tuning: string | null;
  readonly capo: number;
  readonly leftHanded: 0 | 1;
  readonly keys: KeySpelling | null;
  readonly family: VoicingWish['family'] | null;
  readonly top: VoicingWish['top'] | null;
}

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
        `SELECT id, name, instrument, role, position AS "order", tuning, capo,
           left_handed AS leftHanded, key_spelling AS keys, voicing_family AS family, voicing_top AS top
         FROM chairs WHERE band_id = ? ORDER BY position`,
      )
      .all(id) as ChairRow[];
    return { id, name, chairs: chairs.map(chairOf) };
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
        `INSERT INTO chairs (band_id, id, name, instrument, role, position, tuning, capo, left_handed,
           key_spelling, voicing_family, voicing_top, created_at, changed_at)
         VALUES (@band, @id, @name, @instrument, @role, @order, @tuning, @capo, @leftHanded,
           @keys, @family, @top, @at, @at)
         ON CONFLICT (band_id, id) DO UPDATE SET name = @name, instrument = @instrument, role = @role,
           position = @order, tuning = @tuning, capo = @capo, left_handed = @leftHanded,
           key_spelling = @keys, voicing_family = @family, voicing_top = @top, changed_at = @at`,
      )
      .run({ ...rowOf(chair), band, at });
  }
}

function rowOf({ strings, keys, voicing, ...chair }: Chair): ChairRow {
  return {
    ...chair,
    tuning: strings ? tuningText(strings.tuning) : null,
    capo: strings?.capo ?? 0,
    leftHanded: strings?.leftHanded ? 1 : 0,
    keys: keys ?? null,
    family: voicing?.family ?? null,
    top: voicing?.top ?? null,
  };
}

function chairOf({ tuning, capo, leftHanded, keys, family, top, ...chair }: ChairRow): Chair {
  return {
    ...chair,
    ...(tuning === null
      ? {}
      : { strings: { tuning: pitchesOf(tuning), capo, leftHanded: leftHanded === 1 } }),
    ...(keys === null ? {} : { keys }),
    ...(family === null || top === null ? {} : { voicing: { family, top } }),
  };
}

/** The open strings of a kept tuning. Throws when they are no pitches: the row is damaged. */
function pitchesOf(tuning: string): readonly Pitch[] {
  return tuning.split(' ').map((name) => {
    const pitch = parsePitch(name);
    if (!pitch) throw new Error(`A chair is kept with the string ${name}`);
    return pitch;
  });
}
