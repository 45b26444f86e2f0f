import { leastMotion } from '../voicing/leading.ts';
import type { ChordMove } from './chord-moves.ts';
import type { VoiceLeading } from './model.ts';
import { rounded, WEIGHTS } from './weights.ts';

/** How the voices move through the chord changes of a rewrite. */
export function voiceLeading(moves: readonly ChordMove[]): VoiceLeading {
  let semitones = 0;
  let commonTones = 0;
  let guideSteps = 0;
  let guideMoves = 0;
  for (const { from, to } of moves) {
    const motion = leastMotion(from, to);
    semitones += motion.semitones;
    commonTones += motion.common;
    guideSteps += motion.guideSteps;
    guideMoves += motion.guideMoves;
  }
  return { semitones, commonTones, guideSteps, guideMoves };
}

/**
 * The figure 0-1: short ways and stepping guide tones are good.
 *
 * @param moves how many chord changes the voices made
 */
export function voiceLeadingFigure(leading: VoiceLeading, moves: number): number {
  if (moves === 0) return 1;
  const { worstMean, guideShare } = WEIGHTS.voiceLeading;
  const smooth = Math.max(0, 1 - leading.semitones / moves / worstMean);
  const guided = leading.guideMoves === 0 ? 1 : leading.guideSteps / leading.guideMoves;
  return rounded(smooth * (1 - guideShare) + guided * guideShare);
}
