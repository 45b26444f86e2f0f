import type { ArrangementDiff, ArrangementState, Command } from '../arrangement/model.ts';
import { symbolOf } from '../chord/format.ts';
import { chordMessage } from '../chord/messages.ts';
import type { Harmony } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { type Pitch, parsePitch, pitchName } from '../pitch/spelled.ts';
import { err, ok, type Result } from '../result.ts';
import type { ContractError } from './errors.ts';
import type { Wire, WireCommand, WireDiff, WireState } from './wire.ts';

/** A record as it was kept before there were lines in it. */
type EarlierOf<T extends { readonly lines: unknown }> = Omit<T, 'lines'> &
  Partial<Pick<T, 'lines'>>;

type Json = string | number | boolean | null | readonly Json[] | { readonly [key: string]: Json };

/** How what stands under a key is turned into text or back. */
interface Changes {
  readonly harmony: (value: unknown) => unknown;
  readonly pitch: (value: unknown) => unknown;
}

/**
 * A record with every harmony as canonical symbol text and every pitch by its name, ready to travel or to be kept.
 *
 * @example encode({ at: 0, length: 960, harmony: chord(-2, 'maj7') }).harmony // 'Bbmaj7'
 */
export function encode<T>(value: T): Wire<T> {
  return walk(value, {
    harmony: (harmony) => symbolOf(harmony as Harmony),
    pitch: (pitch) => pitchName(pitch as Pitch),
  }) as Wire<T>;
}

/**
 * The state a wire state stands for; one kept before lines could be kept has none. Error: the first text
 * that is no chord symbol or no pitch.
 */
export function decodeState(wire: EarlierOf<WireState>): Result<ArrangementState, ContractError> {
  return decode<ArrangementState>({ ...wire, lines: wire.lines ?? {} });
}

/** The command a wire command stands for. Error: as for {@link decodeState}. */
export function decodeCommand(wire: WireCommand): Result<Command, ContractError> {
  return decode<Command>(wire);
}

/** The diff a wire diff stands for, also an earlier one. Error: as for {@link decodeState}. */
export function decodeDiff(wire: EarlierOf<WireDiff>): Result<ArrangementDiff, ContractError> {
  return decode<ArrangementDiff>({ ...wire, lines: wire.lines ?? {} });
}

function decode<T>(wire: Wire<T>): Result<T, ContractError> {
  // The same few symbols come again and again: each is parsed once a record.
  const known = new Map<string, Harmony>();
  let wrong: ContractError | null = null;
  const harmony = (text: unknown) => {
    const symbol = String(text);
    const before = known.get(symbol);
    if (before) return before;
    const read = parseChord(symbol);
    if (read.ok) {
      known.set(symbol, read.value);
      return read.value;
    }
    wrong ??= {
      code: read.error.code,
      data: { text: symbol, offset: read.error.offset },
      message: chordMessage(read.error),
    };
    return text;
  };
  const pitch = (text: unknown) => {
    const read = parsePitch(String(text));
    if (read) return read;
    wrong ??= {
      code: 'contract/request',
      data: { text: String(text) },
      message: `"${String(text)}" is no pitch; write a letter, its accidental and an octave: Eb4.`,
    };
    return text;
  };
  const value = walk(wire, { harmony, pitch });
  return wrong === null ? ok(value as T) : err(wrong);
}

/** Copies plain data, with what stands under every `harmony` and `pitch` turned. */
function walk(value: unknown, changes: Changes): unknown {
  if (Array.isArray(value)) return value.map((item) => walk(item, changes));
  if (typeof value !== 'object' || value === null) return value;
  const copy: Record<string, unknown> = {};
  for (const [key, item] of Object.entries(value as Record<string, Json>)) {
    copy[key] = key === 'harmony' || key === 'pitch' ? changes[key](item) : walk(item, changes);
  }
  return copy;
}
