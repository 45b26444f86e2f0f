import type { Ticks } from '../../shared-core/time/meter.ts';
import { type Bar, placedChords, type SystemContext } from './bar-places.ts';
import { setChord } from './chord-symbol.ts';
import { type SetText, setText } from './fonts.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';

/**
 * The name of a scale on the line of the chords, right of the one it goes with; null where the next chord
 * or the bar line leaves no room, and it stands in a row above.
 */
export function inlineScale(
  { sheet }: SystemContext,
  bar: Bar,
  at: Ticks,
): { readonly set: SetText; readonly x: number } | null {
  const scale = bar.measure.scales.find((held) => held.at === at);
  const above = placedChords(bar).filter(({ layer }) => layer === 'solo');
  const chord = above.find((held) => held.at === at);
  if (!scale || !chord) return null;
  const { size, style } = sheet;
  const set = setText('italic', WORDS.scale * size, scale.words);
  const width = setChord(chord.harmony, style, scaledLook(LOOKS.strong, size)).width;
  const x = chord.x + width + 4 * size;
  const next = above.find((held) => held.at > at)?.x ?? bar.engraved.right;
  return x + set.width + 3 * size <= next ? { set, x } : null;
}
