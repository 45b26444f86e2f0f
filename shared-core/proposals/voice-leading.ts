import type { Chord } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';
import { leastMotion } from '../voicing/leading.ts';
import type { VoiceLeading } from './model.ts';
import { rounded, WEIGHTS } from './weights.ts';

/**
 * How the voices move through a rewrite: from the chord before the span's first change, through every
 * change, into the chord after the span. Equal neighbours cost nothing and are not counted.
 */
export function voiceLeading(site: Site, changes: readonly Change[]): VoiceLeading {
  let semitones = 0;
  let commonTones = 0;
  let guideSteps = 0;
  let guideMoves = 0;
  let before: Chord | null = null;
  const visit = (chord: Chord): void => {
    if (before && !sameSound(before, chord)) {
      const motion = leastMotion(before, chord);
      semitones += motion.semitones;
      commonTones += motion.common;
      guideSteps += motion.guideSteps;
      guideMoves += motion.guideMoves;
    }
    before = chord;
  };
  for (const { harmony } of changes) if (harmony.kind === 'chord') visit(harmony);
  if (site.next) visit(site.next);
  return { semitones, commonTones, guideSteps, guideMoves };
}

function sameSound(a: Chord, b: Chord): boolean {
  return a === b || (a.root === b.root && a.quality === b.quality);
}

/** The figure 0-1: short ways and stepping guide tones are good. `moves` is the number of chord changes made. */
export function voiceLeadingFigure(leading: VoiceLeading, moves: number): number {
  if (moves === 0) return 1;
  const { worstMean, guideShare } = WEIGHTS.voiceLeading;
  const smooth = Math.max(0, 1 - leading.semitones / moves / worstMean);
  const guided = leading.guideMoves === 0 ? 1 : leading.guideSteps / leading.guideMoves;
  return rounded(smooth * (1 - guideShare) + guided * guideShare);
}

/** Chord changes a player makes through a rewrite and out of it. */
export function movesIn(site: Site, changes: readonly Change[]): number {
  let moves = 0;
  let before: Chord | null = null;
  for (const { harmony } of changes) {
    if (harmony.kind !== 'chord') continue;
    if (before && !sameSound(before, harmony)) moves++;
    before = harmony;
  }
  if (before && site.next && !sameSound(before, site.next)) moves++;
  return moves;
}
