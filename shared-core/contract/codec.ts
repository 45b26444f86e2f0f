import type { ArrangementDiff, ArrangementState, Command } from '../arrangement/model.ts';
import { symbolOf } from '../chord/format.ts';
import { chordMessage } from '../chord/messages.ts';
import type { Harmony } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { err, ok, type Result } from '../result.ts';
import type { ContractError } from './errors.ts';
import type { Wire, WireCommand, WireDiff, WireState } from './wire.ts';

type Json = string | number | boolean | null | readonly Json[] | { readonly [key: string]: Json };

/**
 * A record with every harmony as canonical symbol text, ready to travel or to be kept.
 *
 * @example encode({ at: 0, length: 960, harmony: chord(-2, 'maj7') }).harmony // 'Bbmaj7'
 */
export function encode<T>(value: T): Wire<T> {
  return walk(value, (harmony) => symbolOf(harmony as Harmony)) as Wire<T>;
}

/** The state a wire state stands for. Error: the first text that is no chord symbol. */
export function decodeState(wire: WireState): Result<ArrangementState, ContractError> {
  return decode<ArrangementState>(wire);
}

/** The command a wire command stands for. Error: as for {@link decodeState}. */
export function decodeCommand(wire: WireCommand): Result<Command, ContractError> {
  return decode<Command>(wire);
}

/** The diff a wire diff stands for. Error: as for {@link decodeState}. */
export function decodeDiff(wire: WireDiff): Result<ArrangementDiff, ContractError> {
  return decode<ArrangementDiff>(wire);
}

function decode<T>(wire: Wire<T>): Result<T, ContractError> {
  // The same few symbols come again and again: each is parsed once a record.
  const known = new Map<string, Harmony>();
  let wrong: ContractError | null = null;
  const value = walk(wire, (text) => {
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
  });
  return wrong === null ? ok(value as T) : err(wrong);
}

/** Copies plain data, with `change` applied to what stands under every `harmony`. */
function walk(value: unknown, change: (harmony: unknown) => unknown): unknown {
  if (Array.isArray(value)) return value.map((item) => walk(item, change));
  if (typeof value !== 'object' || value === null) return value;
  const copy: Record<string, unknown> = {};
  for (const [key, item] of Object.entries(value as Record<string, Json>)) {
    copy[key] = key === 'harmony' ? change(item) : walk(item, change);
  }
  return copy;
}
