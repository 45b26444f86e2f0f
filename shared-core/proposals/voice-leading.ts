import type { Chord } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';
import { leastMotion } from '../voicing/leading.ts';
import type { VoiceLeading } from './model.ts';
import { rounded, WEIGHTS } from './weights.ts';

/** How the voices move through a rewrite, and by how many chord changes. */
export interface Led {
  readonly leading: VoiceLeading;
  /** Chord changes a player makes through the rewrite and out of it. */
  readonly moves: number;
}

/**
 * How the voices move through a rewrite: from its first chord, through every change, into the chord after
 * the span. Equal neighbours cost nothing and are not counted.
 */
export function voiceLeading(site: Site, changes: readonly Change[]): Led {
  let semitones = 0;
  let commonTones = 0;
  let guideSteps = 0;
  let guideMoves = 0;
  let moves = 0;
  let before: Chord | null = null;
  for (let index = 0; index <= changes.length; index++) {
    const harmony = index < changes.length ? changes[index]?.harmony : site.next;
    if (harmony?.kind !== 'chord') continue;
    if (before !== null && !sameSound(before, harmony)) {
      const motion = leastMotion(before, harmony);
      semitones += motion.semitones;
      commonTones += motion.common;
      guideSteps += motion.guideSteps;
      guideMoves += motion.guideMoves;
      moves++;
    }
    before = harmony;
  }
  return { leading: { semitones, commonTones, guideSteps, guideMoves }, moves };
}

function sameSound(a: Chord, b: Chord): boolean {
  return a === b || (a.root === b.root && a.quality === b.quality);
}

/** The figure 0-1: short ways and stepping guide tones are good. */
export function voiceLeadingFigure({ leading, moves }: Led): number {
  if (moves === 0) return 1;
  const { worstMean, guideShare } = WEIGHTS.voiceLeading;
  const smooth = Math.max(0, 1 - leading.semitones / moves / worstMean);
  const guided = leading.guideMoves === 0 ? 1 : leading.guideSteps / leading.guideMoves;
  return rounded(smooth * (1 - guideShare) + guided * guideShare);
}
