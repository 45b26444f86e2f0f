import type { ArrangementState, Command, Placement } from '../../shared-core/arrangement/model.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import type { WireCommand, WireState } from '../../shared-core/contract/index.ts';

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

function decodePlacement(placement: WirePlacement): Placement {
  return {
    ...placement,
    changes: placement.changes.map((change) => ({
      ...change,
      harmony: harmonyOf(change.harmony),
    })),
  };
}

function encodePlacement(placement: Placement): WirePlacement {
  return {
    ...placement,
    changes: placement.changes.map((change) => ({ ...change, harmony: symbolOf(change.harmony) })),
  };
}

/** A command as it crosses to the shell: harmonies as text. */
export function encodeCommand(command: Command): WireCommand {
  switch (command.kind) {
    case 'accept':
    case 'edit':
      return { ...command, placement: encodePlacement(command.placement) };
    case 'batch':
      return { ...command, commands: command.commands.map(encodeCommand) };
    default:
      return command;
  }
}

/** A command as it crossed, with its harmonies read again. */
export function decodeCommand(command: WireCommand): Command {
  switch (command.kind) {
    case 'accept':
    case 'edit':
      return { ...command, placement: decodePlacement(command.placement) };
    case 'batch':
      return { ...command, commands: command.commands.map(decodeCommand) };
    default:
      return command;
  }
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
  const state: ArrangementState = {
    head: share(wire.head, before?.wire.head, before?.state.head, (head) => head),
    choruses: shareTable(wire.choruses, before?.wire.choruses, before?.state.choruses, same),
    placements: shareTable(
      wire.placements,
      before?.wire.placements,
      before?.state.placements,
      decodePlacement,
    ),
    rejections: shareTable(
      wire.rejections,
      before?.wire.rejections,
      before?.state.rejections,
      same,
    ),
    directions: shareTable(
      wire.directions,
      before?.wire.directions,
      before?.state.directions,
      same,
    ),
  };
  return { wire, state };
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
