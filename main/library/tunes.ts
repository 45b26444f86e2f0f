import type { Database } from 'better-sqlite3';
import type { TuneRow } from '../../shared-core/contract/types.ts';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { type LibraryError, libraryError } from './errors.ts';
import { chordWord, foldText, wordsOf } from './fold-text.ts';
import type { MakeId } from './ids.ts';
import { transact } from './transact.ts';

/** A tune as it is kept: its canonical text, and what lists and searches need of it. */
export interface TuneEntry {
  readonly text: string;
  readonly title: string;
  readonly credit: string | null;
  readonly key: string;
  readonly keyInferred: boolean;
  readonly meter: string;
  readonly tempo: number | null;
  readonly feel: string | null;
  readonly form: string;
  readonly bars: number;
  /** Distinct canonical chord symbols. */
  readonly symbols: readonly string[];
}

/** What a tune search asks for. */
export interface TuneSearch {
  /** Words that must begin a word of title or credit. */
  readonly words: readonly string[];
  /** For each of `words`, in order, the canonical chord symbol it also stands for; null where it is none. */
  readonly symbols: readonly (string | null)[];
}

interface StoredTune {
  readonly id: string;
  readonly title: string;
  readonly credit: string | null;
  readonly key: string;
  readonly key_inferred: number;
  readonly meter: string;
  readonly tempo: number | null;
  readonly feel: string | null;
  readonly form: string;
  readonly bars: number;
  readonly arrangements: number;
  readonly created_at: string;
  readonly changed_at: string;
  readonly binned_at: string | null;
}

const LIST = `
  SELECT t.id, t.title, t.credit, t.key, t.key_inferred, t.meter, t.tempo, t.feel, t.form, t.bars,
    t.created_at, t.changed_at, t.binned_at,
    (SELECT count(*) FROM arrangements a WHERE a.tune_id = t.id AND a.binned_at IS NULL) AS arrangements
  FROM tunes t`;

/** The tunes of a library. Methods that write are one transaction each. */
export class Tunes {
  readonly #db: Database;
  readonly #now: () => string;
  readonly #makeId: MakeId;

  constructor(db: Database, now: () => string, makeId: MakeId) {
    this.#db = db;
    this.#now = now;
    this.#makeId = makeId;
  }

  /** Tunes by title, the way a person sorts them. */
  list(search: TuneSearch | null, binned: boolean): readonly TuneRow[] {
    const where = `WHERE t.binned_at IS ${binned ? 'NOT' : ''} NULL`;
    const match = search ? matchOf(search) : null;
    const rows = (
      match === null
        ? this.#db.prepare(`${LIST} ${where}`).all()
        : this.#db
            .prepare(
              `${LIST} ${where} AND t.id IN (SELECT tune_id FROM tunes_search WHERE tunes_search MATCH ?)`,
            )
            .all(match)
    ) as StoredTune[];
    const collator = new Intl.Collator('en', { numeric: true });
    return rows
      .sort((a, b) => collator.compare(a.title, b.title) || (a.id < b.id ? -1 : 1))
      .map(rowOf);
  }

  /** The list row of one tune, also from the bin. */
  row(id: string): TuneRow | null {
    const row = this.#db.prepare(`${LIST} WHERE t.id = ?`).get(id) as StoredTune | undefined;
    return row ? rowOf(row) : null;
  }

  /** The canonical text of one tune, also from the bin. */
  text(id: string): Result<string, LibraryError> {
    const text = this.#db.prepare('SELECT text FROM tunes WHERE id = ?').pluck().get(id);
    return typeof text === 'string' ? ok(text) : err(libraryError('library/not-found', { id }));
  }

  /** Keeps new tunes, all or none; answers their ids in order. */
  add(entries: readonly TuneEntry[]): readonly string[] {
    const added = transact(this.#db, () => ok(entries.map((entry) => this.insert(entry))));
    return added.ok ? added.value : [];
  }

  /** Keeps one new tune. Call inside a transaction. */
  insert(entry: TuneEntry): string {
    const id = this.#makeId();
    const at = this.#now();
    this.#db
      .prepare(
        `INSERT INTO tunes (id, text, title, credit, key, key_inferred, meter, tempo, feel, form, bars,
           symbols, created_at, changed_at)
         VALUES (@id, @text, @title, @credit, @key, @keyInferred, @meter, @tempo, @feel, @form, @bars,
           @symbols, @at, @at)`,
      )
      .run({ ...columnsOf(entry), id, at });
    this.#index(id, entry);
    this.#keepVersion(id, entry.text, at);
    return id;
  }

  /** Replaces a tune's text. The text before it is kept among its versions. */
  replace(id: string, entry: TuneEntry): Result<null, LibraryError> {
    return transact(this.#db, () => {
      const at = this.#now();
      const done = this.#db
        .prepare(
          `UPDATE tunes SET text = @text, title = @title, credit = @credit, key = @key,
             key_inferred = @keyInferred, meter = @meter, tempo = @tempo, feel = @feel, form = @form,
             bars = @bars, symbols = @symbols, changed_at = @at
           WHERE id = @id`,
        )
        .run({ ...columnsOf(entry), id, at });
      if (done.changes === 0) return err(libraryError('library/not-found', { id }));
      this.#index(id, entry);
      this.#keepVersion(id, entry.text, at);
      return ok(null);
    });
  }

  /** Puts a tune into the bin, or back from it. */
  setBinned(id: string, binned: boolean): Result<null, LibraryError> {
    const at = this.#now();
    const done = this.#db
      .prepare('UPDATE tunes SET binned_at = ?, changed_at = ? WHERE id = ?')
      .run(binned ? at : null, at, id);
    return done.changes === 1 ? ok(null) : err(libraryError('library/not-found', { id }));
  }

  /** Texts a tune has had, oldest first, the present one last. */
  versions(id: string): readonly { readonly version: number; readonly text: string }[] {
    return this.#db
      .prepare('SELECT version, text FROM tune_versions WHERE tune_id = ? ORDER BY version')
      .all(id) as { version: number; text: string }[];
  }

  #keepVersion(id: string, text: string, at: string): void {
    this.#db
      .prepare(
        `INSERT INTO tune_versions (tune_id, version, text, created_at)
         SELECT @id, 1 + coalesce(max(version), 0), @text, @at FROM tune_versions WHERE tune_id = @id`,
      )
      .run({ id, text, at });
  }

  #index(id: string, entry: TuneEntry): void {
    this.#db.prepare('DELETE FROM tunes_search WHERE tune_id = ?').run(id);
    this.#db
      .prepare('INSERT INTO tunes_search (tune_id, title, credit, chords) VALUES (?, ?, ?, ?)')
      .run(
        id,
        foldText(entry.title),
        foldText(entry.credit ?? ''),
        entry.symbols.map(chordWord).join(' '),
      );
  }
}

function columnsOf(entry: TuneEntry): Record<string, string | number | null> {
  const { keyInferred, symbols, ...rest } = entry;
  return { ...rest, keyInferred: keyInferred ? 1 : 0, symbols: symbols.join(' ') };
}

function rowOf(row: StoredTune): TuneRow {
  return {
    id: row.id,
    title: row.title,
    credit: row.credit,
    key: row.key,
    keyInferred: row.key_inferred === 1,
    meter: row.meter,
    tempo: row.tempo,
    feel: row.feel,
    form: row.form,
    bars: row.bars,
    arrangements: row.arrangements,
    createdAt: row.created_at,
    changedAt: row.changed_at,
    binnedAt: row.binned_at,
  };
}

/** The full-text query of a search; null when it asks for nothing. All words must be met. */
function matchOf(search: TuneSearch): string | null {
  const terms = search.words.map((word, index) => {
    const symbol = search.symbols[index];
    const parts = wordsOf(word).map((part) => `"${part}" *`);
    const text = parts.length > 0 ? `{title credit} : (${parts.join(' AND ')})` : null;
    const chord = symbol ? `chords : "${chordWord(symbol)}"` : null;
    const either = [text, chord].filter((term) => term !== null);
    return either.length > 0 ? `(${either.join(' OR ')})` : null;
  });
  const asked = terms.filter((term) => term !== null);
  return asked.length > 0 ? asked.join(' AND ') : null;
}
