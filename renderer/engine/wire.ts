import { applyCommand } from '../../shared-core/arrangement/fold.ts';
import type {
  ArrangementState,
  Command,
  KeptLine,
  Placement,
} from '../../shared-core/arrangement/model.ts';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { decodeCommand, encode } from '../../shared-core/contract/codec.ts';
import type { WireCommand, WireState } from '../../shared-core/contract/index.ts';
import { parsePitch } from '../../shared-core/pitch/spelled.ts';

const harmonies = new Map<string, Harmony>();

/** The harmony of canonical symbol text. Throws when the text is no chord: the shell never sends one. */
export function harmonyOf(symbol: string): Harmony {
  const known = harmonies.get(symbol);
  if (known) return known;
  const read = parseChord(symbol);
  if (!read.ok) throw new Error(`The shell sent "${symbol}", which is no chord symbol`);
  harmonies.set(symbol, read.value);
  return read.value;
}

type WirePlacement = WireState['placements'][string];
type WireLine = WireState['lines'][string];

function decodePlacement(placement: WirePlacement): Placement {
  return {
    ...placement,
    changes: placement.changes.map((change) => ({
      ...change,
      harmony: harmonyOf(change.harmony),
    })),
  };
}

function decodeLine(line: WireLine): KeptLine {
  return {
    ...line,
    notes: line.notes.map((note) => {
      const pitch = parsePitch(note.pitch);
      if (!pitch) throw new Error(`The shell sent "${note.pitch}", which is no pitch`);
      return { ...note, pitch };
    }),
  };
}

/** A command as it crossed, with its harmonies read again. Throws when one is no chord. */
export function commandOf(wire: WireCommand): Command {
  const read = decodeCommand(wire);
  if (!read.ok) throw new Error(read.error.message);
  return read.value;
}

/** What the shell answered, as the window holds it: the text it came from is kept to share what stayed. */
export interface Held {
  readonly wire: WireState;
  readonly state: ArrangementState;
}

/**
 * Reads a state from the shell. Records that did not change since `before` are the very same objects,
 * so that only the cells of a decision are drawn again.
 */
export function holdState(wire: WireState, before: Held | null): Held {
  const from = before?.wire;
  const held = before?.state;
  const state: ArrangementState = {
    head: share(wire.head, from?.head, held?.head, same),
    choruses: shareTable(wire.choruses, from?.choruses, held?.choruses, same),
    placements: shareTable(wire.placements, from?.placements, held?.placements, decodePlacement),
    rejections: shareTable(wire.rejections, from?.rejections, held?.rejections, same),
    directions: shareTable(wire.directions, from?.directions, held?.directions, same),
    lines: shareTable(wire.lines, from?.lines, held?.lines, decodeLine),
  };
  return { wire, state };
}

/**
 * A held state with a decision laid over it that is still on its way to the shell: made by the same fold
 * that the shell uses. A command that cannot be applied changes nothing; the shell will say why.
 */
export function project(held: Held, command: Command): Held {
  const applied = applyCommand(held.state, command);
  if (!applied.ok) return held;
  const { state, diff } = applied.value;
  const placements = { ...held.wire.placements };
  for (const [id, { after }] of Object.entries(diff.placements)) {
    if (after) placements[id] = encode(after) as WirePlacement;
    else delete placements[id];
  }
  const lines = { ...held.wire.lines };
  for (const [id, { after }] of Object.entries(diff.lines)) {
    if (after) lines[id] = encode(after) as WireLine;
    else delete lines[id];
  }
  const { head, choruses, rejections, directions } = state;
  return { wire: { head, choruses, rejections, directions, placements, lines }, state };
}

function same<T>(value: T): T {
  return value;
}

function share<W, T>(
  wire: W,
  beforeWire: W | undefined,
  before: T | undefined,
  decode: (wire: W) => T,
): T {
  const unchanged =
    before !== undefined &&
    beforeWire !== undefined &&
    JSON.stringify(wire) === JSON.stringify(beforeWire);
  return unchanged ? before : decode(wire);
}

function shareTable<W, T>(
  wire: Readonly<Record<string, W>>,
  beforeWire: Readonly<Record<string, W>> | undefined,
  before: Readonly<Record<string, T>> | undefined,
  decode: (wire: W) => T,
): Readonly<Record<string, T>> {
  const table: Record<string, T> = {};
  let changed = before === undefined;
  for (const [id, record] of Object.entries(wire)) {
    const shared = share(record, beforeWire?.[id], before?.[id], decode);
    changed ||= shared !== before?.[id];
    table[id] = shared;
  }
  if (!changed && before && Object.keys(before).length === Object.keys(table).length) return before;
  return table;
}
