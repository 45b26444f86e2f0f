import type { Ticks } from '../../shared-core/time/meter.ts';

/** A note or rest of a bar in order: its place, and its flags (0 for rests and unflagged notes). */
export interface Flagged {
  readonly at: Ticks;
  readonly flags: number;
}

/**
 * Beams of a bar, by the place of the note: for each level `begin`, `continue`, `end` or a hook, in the
 * words of MusicXML. Flagged neighbours within one counted beat are joined. Common practice, no source.
 */
export function beamsOf(
  symbols: readonly Flagged[],
  beat: Ticks,
): ReadonlyMap<Ticks, readonly string[]> {
  const beams = new Map<Ticks, readonly string[]>();
  symbols.forEach((symbol, i) => {
    const joins = (other: Flagged | undefined, level: number) =>
      other !== undefined &&
      other.flags >= level &&
      Math.floor(other.at / beat) === Math.floor(symbol.at / beat);
    const before = symbols[i - 1];
    const after = symbols[i + 1];
    if (symbol.flags === 0 || (!joins(before, 1) && !joins(after, 1))) return;
    const levels = Array.from({ length: symbol.flags }, (_, level) => {
      const left = joins(before, level + 1);
      const right = joins(after, level + 1);
      if (left && right) return 'continue';
      if (left || right) return right ? 'begin' : 'end';
      return joins(before, 1) ? 'backward hook' : 'forward hook';
    });
    beams.set(symbol.at, levels);
  });
  return beams;
}
