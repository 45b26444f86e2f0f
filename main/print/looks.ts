import type { ChordLook } from './chord-symbol.ts';

/** Type sizes of a chart, in points at normal size; chord symbols are never under 14. */
export const LOOKS = {
  /** The changes this chair plays. */
  strong: { face: 'semibold', root: 19, small: 14.5 },
  /** The band's changes under a soloist's. */
  light: { face: 'regular', root: 15, small: 14 },
  /** Changes of another chorus over the bars they replace. */
  over: { face: 'semibold', root: 16, small: 14 },
  /** Cues of what another chair plays. */
  cue: { face: 'italic', root: 11, small: 10 },
} as const satisfies Record<string, ChordLook>;

/** Words on the chart, in points at normal size. */
export const WORDS = {
  title: 25,
  chair: 13.5,
  headWords: 10.5,
  road: 11,
  heading: 12.5,
  rehearsal: 13,
  barNumber: 9,
  count: 11,
  direction: 11.5,
  sign: 13,
  cue: 10,
  over: 10,
  scale: 9.5,
  mark: 10,
  ending: 10.5,
  foot: 8.5,
} as const;

/** A look at another size. */
export function scaledLook(look: ChordLook, size: number): ChordLook {
  return { face: look.face, root: look.root * size, small: look.small * size };
}
