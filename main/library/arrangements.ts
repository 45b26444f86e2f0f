import type { Database } from 'better-sqlite3';
import type { ArrangementRow, HistoryEntry } from '../../shared-core/contract/types.ts';
import type { WireCommand, WireDiff, WireState } from '../../shared-core/contract/wire.ts';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { type LibraryError, libraryError } from './errors.ts';
import type { MakeId } from './ids.ts';
import type { Taste, TasteMark } from './taste.ts';
import { transact } from './transact.ts';

/**
 * Shape of the JSON kept for states, commands and diffs. A new shape is a migration and a new number; a
 * table that earlier records lack is read as empty instead ({@link earlier}).
 */
export const STATE_VERSION = 1;

/** An arrangement as kept. */
export interface StoredArrangement {
  readonly id: string;
  readonly tuneId: string;
  readonly name: string;
  readonly state: WireState;
  readonly revision: number;
}

/** A decision as the use case made it, ready to be kept. */
export interface Decision {
  readonly state: WireState;
  readonly command: WireCommand;
  readonly diff: WireDiff;
  readonly label: string;
  /** What it says about the leader's taste; empty when nothing. */
  readonly taste: readonly TasteMark[];
}

/** A decision to be undone or redone, and what it says about taste. */
export interface PastDecision {
  readonly seq: number;
  readonly command: WireCommand;
  readonly diff: WireDiff;
}

interface StoredRow {
  readonly id: string;
  readonly tune_id: string;
  readonly name: string;
  readonly state: string;
  readonly state_version: number;
  readonly revision: number;
}

const ROWS = `
  SELECT a.id, a.tune_id AS tuneId, t.title AS tuneTitle, a.name, a.choruses, a.revision,
    a.created_at AS createdAt, a.changed_at AS changedAt, a.binned_at AS binnedAt
  FROM arrangements a JOIN tunes t ON t.id = a.tune_id`;

/** Steps a state through a past decision, back or on: the state it leads to, and the mark on taste it had. */
type StepThrough<E> = (
  state: WireState,
  past: PastDecision,
) => Result<{ state: WireState; taste: readonly TasteMark[] }, E>;

/**
 * The arrangements of a library with their decisions. A decision, its effect on the state, its diff and
 * what it teaches about taste are one transaction: undo survives whatever ends the program.
 */
export class Arrangements {
  readonly #db: Database;
  readonly #now: () => string;
  readonly #makeId: MakeId;
  readonly #taste: Taste;

  constructor(db: Database, now: () => string, makeId: MakeId, taste: Taste) {
    this.#db = db;
    this.#now = now;
    this.#makeId = makeId;
    this.#taste = taste;
  }

  /** Arrangements, newest first; of one tune, or of all whose tune is not in the bin. */
  list(tuneId: string | null, binned: boolean): readonly ArrangementRow[] {
    const bin = binned ? 'a.binned_at IS NOT NULL' : 'a.binned_at IS NULL';
    return (
      tuneId === null
        ? this.#db.prepare(`${ROWS} WHERE ${bin} AND t.binned_at IS NULL ORDER BY a.id DESC`).all()
        : this.#db.prepare(`${ROWS} WHERE ${bin} AND a.tune_id = ? ORDER BY a.id DESC`).all(tuneId)
    ) as ArrangementRow[];
  }

  /** One arrangement, also from the bin. */
  get(id: string): Result<StoredArrangement, LibraryError> {
    const row = this.#row(id);
    return row ? read(row) : err(libraryError('library/not-found', { id }));
  }

  /** Keeps a new arrangement; answers its id. */
  create(tuneId: string, state: WireState): Result<string, LibraryError> {
    return transact(this.#db, () => {
      const tune = this.#db.prepare('SELECT 1 FROM tunes WHERE id = ?').get(tuneId);
      if (!tune) return err(libraryError('library/not-found', { id: tuneId }));
      const id = this.#makeId();
      this.#db
        .prepare(
          `INSERT INTO arrangements
             (id, tune_id, name, choruses, state, state_version, revision, created_at, changed_at)
           VALUES (@id, @tuneId, @name, @choruses, @state, ${STATE_VERSION}, 0, @at, @at)`,
        )
        .run({ id, tuneId, ...columnsOf(state), at: this.#now() });
      return ok(id);
    });
  }

  /**
   * Keeps a decision that `decide` makes from the present state. What was undone before it can no longer
   * be redone. Errors: `library/stale` when `revision` is not the present one, or what `decide` answers.
   */
  decide<E>(
    id: string,
    revision: number,
    decide: (state: WireState) => Result<Decision, E>,
  ): Result<StoredArrangement, LibraryError | E> {
    return this.#change(id, revision, (current) => {
      const decision = decide(current.state);
      if (!decision.ok) return decision;
      this.#db.prepare('DELETE FROM decisions WHERE arrangement_id = ? AND undone = 1').run(id);
      this.#insertDecision(id, decision.value);
      for (const mark of decision.value.taste) this.#taste.count(mark, 1);
      return ok(decision.value.state);
    });
  }

  /** Takes back the last decision that stands. `step` gives the state before it and its mark on taste. */
  undo<E>(
    id: string,
    revision: number,
    step: StepThrough<E>,
  ): Result<StoredArrangement, LibraryError | E> {
    return this.#step(id, revision, step, {
      pick: 'undone = 0 ORDER BY seq DESC',
      undone: 1,
      none: 'library/nothing-to-undo',
    });
  }

  /** Makes the first undone decision again. `step` gives the state after it and its mark on taste. */
  redo<E>(
    id: string,
    revision: number,
    step: StepThrough<E>,
  ): Result<StoredArrangement, LibraryError | E> {
    return this.#step(id, revision, step, {
      pick: 'undone = 1 ORDER BY seq',
      undone: 0,
      none: 'library/nothing-to-redo',
    });
  }

  /** Decisions, oldest first. */
  history(id: string): readonly HistoryEntry[] {
    const rows = this.#db
      .prepare(
        'SELECT seq, label, created_at AS at, undone FROM decisions WHERE arrangement_id = ? ORDER BY seq',
      )
      .all(id) as { seq: number; label: string; at: string; undone: number }[];
    return rows.map((row) => ({ ...row, undone: row.undone === 1 }));
  }

  /** Commands that stand, oldest first: folding them from the empty arrangement gives the state. */
  commands(id: string): readonly WireCommand[] {
    const rows = this.#db
      .prepare('SELECT command FROM decisions WHERE arrangement_id = ? AND undone = 0 ORDER BY seq')
      .pluck()
      .all(id) as string[];
    return rows.map((row) => JSON.parse(row) as WireCommand);
  }

  /** Copies an arrangement under another name, its history with it; answers the new id. */
  duplicate(id: string, name: string): Result<string, LibraryError> {
    return transact(this.#db, () => {
      const source = this.get(id);
      if (!source.ok) return source;
      const state = { ...source.value.state, head: { ...source.value.state.head, name } };
      const copy = this.#makeId();
      this.#db
        .prepare(
          `INSERT INTO arrangements
             (id, tune_id, name, choruses, state, state_version, revision, created_at, changed_at)
           VALUES (@copy, @tuneId, @name, @choruses, @state, ${STATE_VERSION}, 0, @at, @at)`,
        )
        .run({ copy, tuneId: source.value.tuneId, ...columnsOf(state), at: this.#now() });
      return ok(copy);
    });
  }

  /** Puts an arrangement into the bin, or back from it. */
  setBinned(id: string, binned: boolean): Result<null, LibraryError> {
    const at = this.#now();
    const done = this.#db
      .prepare('UPDATE arrangements SET binned_at = ?, changed_at = ? WHERE id = ?')
      .run(binned ? at : null, at, id);
    return done.changes === 1 ? ok(null) : err(libraryError('library/not-found', { id }));
  }

  #row(id: string): StoredRow | undefined {
    return this.#db
      .prepare(
        'SELECT id, tune_id, name, state, state_version, revision FROM arrangements WHERE id = ?',
      )
      .get(id) as StoredRow | undefined;
  }

  #change<E>(
    id: string,
    revision: number,
    work: (current: StoredArrangement) => Result<WireState, E>,
  ): Result<StoredArrangement, LibraryError | E> {
    return transact<StoredArrangement, LibraryError | E>(this.#db, () => {
      const current = this.get(id);
      if (!current.ok) return current;
      if (current.value.revision !== revision) {
        const data = { id, asked: revision, present: current.value.revision };
        return err(libraryError('library/stale', data));
      }
      const state = work(current.value);
      if (!state.ok) return state;
      this.#db
        .prepare(
          `UPDATE arrangements SET name = @name, choruses = @choruses, state = @state,
             state_version = ${STATE_VERSION}, revision = revision + 1, changed_at = @at WHERE id = @id`,
        )
        .run({ id, ...columnsOf(state.value), at: this.#now() });
      return ok({
        ...current.value,
        name: state.value.head.name,
        state: state.value,
        revision: revision + 1,
      });
    });
  }

  #step<E>(
    id: string,
    revision: number,
    step: StepThrough<E>,
    which: {
      pick: string;
      undone: 0 | 1;
      none: 'library/nothing-to-undo' | 'library/nothing-to-redo';
    },
  ): Result<StoredArrangement, LibraryError | E> {
    return this.#change<LibraryError | E>(id, revision, (current) => {
      const past = this.#past(id, which.pick, which.none);
      if (!past.ok) return past;
      const stepped = step(current.state, past.value);
      if (!stepped.ok) return stepped;
      this.#db
        .prepare(
          'UPDATE decisions SET undone = ?, changed_at = ? WHERE arrangement_id = ? AND seq = ?',
        )
        .run(which.undone, this.#now(), id, past.value.seq);
      const direction = which.undone === 1 ? -1 : 1;
      for (const mark of stepped.value.taste) this.#taste.count(mark, direction);
      return ok(stepped.value.state);
    });
  }

  #past(
    id: string,
    pick: string,
    none: 'library/nothing-to-undo' | 'library/nothing-to-redo',
  ): Result<PastDecision, LibraryError> {
    const row = this.#db
      .prepare(
        `SELECT seq, command, diff, version FROM decisions WHERE arrangement_id = ? AND ${pick} LIMIT 1`,
      )
      .get(id) as { seq: number; command: string; diff: string; version: number } | undefined;
    if (!row) return err(libraryError(none, { id }));
    if (row.version !== STATE_VERSION) {
      return err(libraryError('library/history-version', { id, version: row.version }));
    }
    const command = parseKept<WireCommand>(row.command, id);
    if (!command.ok) return command;
    const diff = parseKept<WireDiff>(row.diff, id);
    if (!diff.ok) return diff;
    return ok({ seq: row.seq, command: command.value, diff: earlier(diff.value) });
  }

  #insertDecision(id: string, decision: Decision): void {
    this.#db
      .prepare(
        `INSERT INTO decisions
           (arrangement_id, seq, kind, label, command, diff, version, undone, created_at, changed_at)
         SELECT @id, 1 + coalesce(max(seq), 0), @kind, @label, @command, @diff, ${STATE_VERSION}, 0, @at, @at
         FROM decisions WHERE arrangement_id = @id`,
      )
      .run({
        id,
        kind: decision.command.kind,
        label: decision.label,
        command: JSON.stringify(decision.command),
        diff: JSON.stringify(decision.diff),
        at: this.#now(),
      });
  }
}

function columnsOf(state: WireState): { name: string; choruses: number; state: string } {
  return {
    name: state.head.name,
    choruses: Object.keys(state.choruses).length,
    state: JSON.stringify(state),
  };
}

function read(row: StoredRow): Result<StoredArrangement, LibraryError> {
  if (row.state_version !== STATE_VERSION) {
    return err(libraryError('library/history-version', { id: row.id, version: row.state_version }));
  }
  const state = parseKept<WireState>(row.state, row.id);
  if (!state.ok) return state;
  return ok({
    id: row.id,
    tuneId: row.tune_id,
    name: row.name,
    state: earlier(state.value),
    revision: row.revision,
  });
}

/** A state or diff with the tables it has now, empty where it was kept before there were any. */
function earlier<T extends WireState | WireDiff>(kept: T): T {
  // What is no record at all is left to the check of its shape, which says that it is damaged.
  return typeof kept === 'object' && kept !== null ? { ...kept, lines: kept.lines ?? {} } : kept;
}

/** JSON we wrote. That it no longer is JSON means that something else wrote over it: `library/damaged`. */
function parseKept<T>(json: string, id: string): Result<T, LibraryError> {
  try {
    return ok(JSON.parse(json) as T);
  } catch (thrown) {
    if (!(thrown instanceof SyntaxError)) throw thrown;
    return err(libraryError('library/damaged', { id, detail: `arrangement ${id}` }));
  }
}
