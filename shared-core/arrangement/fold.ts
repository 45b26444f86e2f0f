import { assertNever, err, ok, type Result } from '../result.ts';
import { labelOf } from './label.ts';
import type {
  ArrangementDiff,
  ArrangementHead,
  ArrangementState,
  ChorusPlan,
  Command,
  CommandError,
  KeptLine,
  Placement,
  RecordChange,
} from './model.ts';

/** What applying a command gives: the new state, what changed, and words for the history. */
export interface Applied {
  readonly state: ArrangementState;
  readonly diff: ArrangementDiff;
  readonly label: string;
}

type Step = Result<ArrangementState, CommandError>;
type Table = 'choruses' | 'placements' | 'rejections' | 'directions' | 'lines';
const TABLES: readonly Table[] = ['choruses', 'placements', 'rejections', 'directions', 'lines'];

/**
 * A fresh arrangement of `choruses` plain choruses (at least one). Chorus ids are `c1`, `c2`, ...
 * Throws RangeError when `choruses` is not a whole number from 1 to 99.
 *
 * @example emptyArrangement('Saturday', 3).choruses.c2.order // 1
 */
export function emptyArrangement(name: string, choruses: number): ArrangementState {
  if (!Number.isInteger(choruses) || choruses < 1 || choruses > 99) {
    throw new RangeError(`An arrangement has 1 to 99 choruses, not ${choruses}`);
  }
  const plans: Record<string, ChorusPlan> = {};
  for (let order = 0; order < choruses; order++) {
    const id = `c${order + 1}`;
    plans[id] = { id, order, label: null, intensity: 0 };
  }
  return {
    head: { name, tempo: null, feel: null },
    choruses: plans,
    placements: {},
    rejections: {},
    directions: {},
    lines: {},
  };
}

/** Choruses in playing order. */
export function chorusesInOrder(state: ArrangementState): readonly ChorusPlan[] {
  return Object.values(state.choruses).sort((a, b) => a.order - b.order);
}

/** Whether two placements of one layer claim the same time of the same chorus. */
export function placementsOverlap(a: Placement, b: Placement): boolean {
  return (
    a.chorus === b.chorus &&
    a.layer === b.layer &&
    a.start < b.start + b.length &&
    b.start < a.start + a.length
  );
}

/**
 * Applies one decision. Pure: the given state is untouched.
 *
 * Accepting or editing over placements that stand in the same layer and time replaces them, so that a
 * change of mind is one decision and one undo.
 *
 * @returns the new state with its diff, or the reason why it cannot be done.
 */
export function applyCommand(
  state: ArrangementState,
  command: Command,
): Result<Applied, CommandError> {
  const next = step(state, command);
  if (!next.ok) return next;
  return ok({ state: next.value, diff: diffOf(state, next.value), label: labelOf(command, state) });
}

/** Plays commands one after another from `start`; the first that cannot be applied ends it with its error. */
export function fold(
  start: ArrangementState,
  commands: readonly Command[],
): Result<ArrangementState, CommandError> {
  let state = start;
  for (const command of commands) {
    const next = step(state, command);
    if (!next.ok) return next;
    state = next.value;
  }
  return ok(state);
}

function step(state: ArrangementState, command: Command): Step {
  switch (command.kind) {
    case 'accept':
    case 'edit':
      return place(state, command.placement);
    case 'reject':
      return reject(state, command.rejection);
    case 'unreject':
      return drop(state, 'rejections', command.rejection, 'arrangement/no-rejection');
    case 'remove':
      return drop(state, 'placements', command.placement, 'arrangement/no-placement');
    case 'set-layer':
      return setLayer(state, command.placement, command.layer);
    case 'add-chorus':
      return addChorus(state, command.chorus);
    case 'remove-chorus':
      return removeChorus(state, command.chorus);
    case 'move-chorus':
      return moveChorus(state, command.chorus, command.to);
    case 'set-chorus':
      return setChorus(state, command.chorus, command.label, command.intensity);
    case 'set-head':
      return setHead(state, command.head);
    case 'set-direction':
      return state.choruses[command.direction.chorus]
        ? ok({
            ...state,
            directions: { ...state.directions, [command.direction.id]: command.direction },
          })
        : fail('arrangement/no-chorus', { chorus: command.direction.chorus });
    case 'remove-direction':
      return drop(state, 'directions', command.direction, 'arrangement/no-direction');
    case 'set-line':
      return setLine(state, command.line);
    case 'remove-line':
      return drop(state, 'lines', command.line, 'arrangement/no-line');
    case 'batch':
      return fold(state, command.commands);
    default:
      return assertNever(command);
  }
}

function fail(
  code: CommandError['code'],
  data: CommandError['data'],
): { ok: false; error: CommandError } {
  return err({ code, data });
}

function place(state: ArrangementState, placement: Placement): Step {
  if (!state.choruses[placement.chorus])
    return fail('arrangement/no-chorus', { chorus: placement.chorus });
  const gap = firstGap(placement);
  if (gap !== null) return fail('arrangement/gap', { at: gap });
  const kept: Record<string, Placement> = {};
  for (const other of Object.values(state.placements)) {
    if (other.id !== placement.id && !placementsOverlap(other, placement)) kept[other.id] = other;
  }
  kept[placement.id] = placement;
  return ok({ ...state, placements: kept });
}

/** Tick at which the changes of a placement stop covering it without gap or overlap; null when they cover it. */
function firstGap(placement: Placement): number | null {
  if (placement.start < 0 || placement.length <= 0) return 0;
  let at = 0;
  for (const change of placement.changes) {
    if (change.at !== at || change.length <= 0) return at;
    at += change.length;
  }
  return at === placement.length ? null : at;
}

function reject(state: ArrangementState, rejection: ArrangementState['rejections'][string]): Step {
  if (!state.choruses[rejection.chorus])
    return fail('arrangement/no-chorus', { chorus: rejection.chorus });
  return ok({ ...state, rejections: { ...state.rejections, [rejection.id]: rejection } });
}

function drop(state: ArrangementState, table: Table, id: string, code: CommandError['code']): Step {
  if (!state[table][id]) return fail(code, { id });
  const rest: Record<string, unknown> = { ...state[table] };
  delete rest[id];
  return ok({ ...state, [table]: rest });
}

function setLayer(state: ArrangementState, id: string, layer: Placement['layer']): Step {
  const placement = state.placements[id];
  if (!placement) return fail('arrangement/no-placement', { id });
  return place(state, { ...placement, layer });
}

/** Keeps a line; lines of the same chair that claim some of the same time give way. */
function setLine(state: ArrangementState, line: KeptLine): Step {
  if (!state.choruses[line.chorus]) return fail('arrangement/no-chorus', { chorus: line.chorus });
  const wrong = firstWrongNote(line);
  if (wrong !== null) return fail('arrangement/line-notes', { note: wrong + 1 });
  const kept: Record<string, KeptLine> = {};
  for (const other of Object.values(state.lines)) {
    const meets =
      other.chorus === line.chorus &&
      other.chair === line.chair &&
      other.start < line.start + line.length &&
      line.start < other.start + other.length;
    if (other.id !== line.id && !meets) kept[other.id] = other;
  }
  kept[line.id] = line;
  return ok({ ...state, lines: kept });
}

/** 0-based place of the first note that is out of order, sounds over the one before or leaves the stretch. */
function firstWrongNote(line: KeptLine): number | null {
  if (line.start < 0 || line.length <= 0) return 0;
  let free = line.start;
  for (const [index, note] of line.notes.entries()) {
    if (note.start < free || note.length <= 0) return index;
    free = note.start + note.length;
    if (free > line.start + line.length) return index;
  }
  return null;
}

function addChorus(state: ArrangementState, chorus: ChorusPlan): Step {
  const order = chorusesInOrder(state);
  if (state.choruses[chorus.id]) return fail('arrangement/duplicate-id', { id: chorus.id });
  if (order.length >= 99) return fail('arrangement/out-of-range', { choruses: order.length + 1 });
  if (!isIntensity(chorus.intensity))
    return fail('arrangement/out-of-range', { intensity: chorus.intensity });
  const to = Math.max(0, Math.min(chorus.order, order.length));
  return ok({ ...state, choruses: numbered([...order.slice(0, to), chorus, ...order.slice(to)]) });
}

function removeChorus(state: ArrangementState, id: string): Step {
  if (!state.choruses[id]) return fail('arrangement/no-chorus', { chorus: id });
  const rest = chorusesInOrder(state).filter((plan) => plan.id !== id);
  if (rest.length === 0) return fail('arrangement/last-chorus', { chorus: id });
  return ok({
    head: state.head,
    choruses: numbered(rest),
    placements: without(state.placements, id),
    rejections: without(state.rejections, id),
    directions: without(state.directions, id),
    lines: without(state.lines, id),
  });
}

function moveChorus(state: ArrangementState, id: string, to: number): Step {
  const chorus = state.choruses[id];
  if (!chorus) return fail('arrangement/no-chorus', { chorus: id });
  const rest = chorusesInOrder(state).filter((plan) => plan.id !== id);
  if (!Number.isInteger(to) || to < 0 || to > rest.length)
    return fail('arrangement/out-of-range', { to });
  return ok({ ...state, choruses: numbered([...rest.slice(0, to), chorus, ...rest.slice(to)]) });
}

function setChorus(
  state: ArrangementState,
  id: string,
  label: string | null,
  intensity: number,
): Step {
  const chorus = state.choruses[id];
  if (!chorus) return fail('arrangement/no-chorus', { chorus: id });
  if (!isIntensity(intensity)) return fail('arrangement/out-of-range', { intensity });
  return ok({ ...state, choruses: { ...state.choruses, [id]: { ...chorus, label, intensity } } });
}

function setHead(state: ArrangementState, head: ArrangementHead): Step {
  if (head.tempo !== null && !(head.tempo >= 20 && head.tempo <= 400)) {
    return fail('arrangement/out-of-range', { tempo: head.tempo });
  }
  return ok({ ...state, head });
}

function isIntensity(value: number): boolean {
  return Number.isInteger(value) && value >= 0 && value <= 5;
}

function numbered(plans: readonly ChorusPlan[]): Record<string, ChorusPlan> {
  return Object.fromEntries(
    plans.map((plan, order) => [plan.id, plan.order === order ? plan : { ...plan, order }]),
  );
}

function without<T extends { readonly chorus: string }>(
  table: Readonly<Record<string, T>>,
  chorus: string,
): Record<string, T> {
  return Object.fromEntries(Object.entries(table).filter(([, record]) => record.chorus !== chorus));
}

/** Record-by-record difference of two states of one arrangement. */
export function diffOf(before: ArrangementState, after: ArrangementState): ArrangementDiff {
  return {
    head: before.head === after.head ? null : { before: before.head, after: after.head },
    choruses: tableDiff(before.choruses, after.choruses),
    placements: tableDiff(before.placements, after.placements),
    rejections: tableDiff(before.rejections, after.rejections),
    directions: tableDiff(before.directions, after.directions),
    lines: tableDiff(before.lines, after.lines),
  };
}

function tableDiff<T>(
  before: Readonly<Record<string, T>>,
  after: Readonly<Record<string, T>>,
): Record<string, RecordChange<T>> {
  const changes: Record<string, RecordChange<T>> = {};
  if (before === after) return changes;
  for (const [id, record] of Object.entries(before)) {
    const now = after[id];
    if (now !== record) changes[id] = { before: record, after: now ?? null };
  }
  for (const [id, record] of Object.entries(after)) {
    if (!(id in before)) changes[id] = { before: null, after: record };
  }
  return changes;
}

/** The opposite diff: every pair swapped. Applying a diff and then its opposite gives the state back. */
export function invertDiff(diff: ArrangementDiff): ArrangementDiff {
  const swap = <T>(change: RecordChange<T>): RecordChange<T> => ({
    before: change.after,
    after: change.before,
  });
  const swapAll = <T>(
    table: Readonly<Record<string, RecordChange<T>>>,
  ): Record<string, RecordChange<T>> =>
    Object.fromEntries(Object.entries(table).map(([id, change]) => [id, swap(change)]));
  return {
    head: diff.head && swap(diff.head),
    choruses: swapAll(diff.choruses),
    placements: swapAll(diff.placements),
    rejections: swapAll(diff.rejections),
    directions: swapAll(diff.directions),
    lines: swapAll(diff.lines),
  };
}

/** Applies a stored diff: each named record becomes its `after`. Records the diff does not name stay as they are. */
export function applyDiff(state: ArrangementState, diff: ArrangementDiff): ArrangementState {
  let next: ArrangementState = diff.head?.after ? { ...state, head: diff.head.after } : state;
  for (const table of TABLES) {
    const changes = Object.entries(diff[table]) as [string, RecordChange<unknown>][];
    if (changes.length === 0) continue;
    const records: Record<string, unknown> = { ...next[table] };
    for (const [id, change] of changes) {
      if (change.after === null) delete records[id];
      else records[id] = change.after;
    }
    next = { ...next, [table]: records };
  }
  return next;
}
