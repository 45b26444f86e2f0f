import type { Chord } from '../chord/model.ts';
import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import type { Site, Standing } from './model.ts';
import { semitonesUp } from './sound.ts';
import { isStretch } from './write.ts';

/** What the held chord of a static span is; `other` for a stretch of several chords. */
export function standingOf(site: Site): Standing {
  if (isStretch(site)) return 'other';
  const { held } = site;
  switch (held.quality.family) {
    case 'major':
    case 'power':
      return 'major';
    case 'minor':
      return isTonic(site) || site.next === null ? 'minor-home' : 'minor';
    case 'dominant':
      return dominantStanding(site);
    case 'half-diminished':
      return 'half-diminished';
    case 'suspended':
      return 'suspended';
    default:
      return 'other';
  }
}

/** Whether the held chord stands on the tonic of its local key. */
export function isTonic(site: Site): boolean {
  return chromaOf(site.held.root) === chromaOf(site.key.tonic);
}

function dominantStanding(site: Site): Standing {
  if (isTonic(site)) return 'blues';
  if (semitonesUp(site.key.tonic, site.held.root) === 7) return 'dominant';
  return site.next !== null && resolves(site.held, site.next) ? 'dominant' : 'blues';
}

/** Down a fifth or down a semitone: the two ways a dominant comes home. */
export function resolves(dominant: Chord, to: Chord): boolean {
  const up = semitonesUp(dominant.root, to.root);
  return up === 5 || up === 11;
}

/**
 * Which way a dominant goes into the chord after the span: as its five, from a semitone above as the
 * substitute, or by the backdoor from a whole tone below a home. The way decides what its two-five is called.
 */
export function wayInto(
  { key, next }: Site,
  dominant: Spelled,
): 'five' | 'tritone' | 'backdoor' | null {
  if (next === null) return null;
  const up = semitonesUp(dominant, next.root);
  if (up === 5) return 'five';
  if (up === 11) return 'tritone';
  const { family } = next.quality;
  const blues = family === 'dominant' && semitonesUp(key.tonic, next.root) === 0;
  return up === 2 && (family === 'major' || blues) ? 'backdoor' : null;
}

/** Whether the chord after the span comes to rest on the held chord's root: then its end is open to what leads home. */
export function homeNext(site: Site): boolean {
  const { next, held } = site;
  if (next === null || semitonesUp(held.root, next.root) !== 0) return false;
  const minor = next.quality.family === 'minor';
  return minor === (held.quality.family === 'minor') && next.quality.family !== 'half-diminished';
}

/** Whether a chord is minor in its third. */
export function isMinorish(chord: Chord): boolean {
  const { family } = chord.quality;
  return family === 'minor' || family === 'half-diminished' || family === 'diminished';
}

/** Root position of a chord that holds a seventh chord's four notes; triads are false. */
export function isTriad(chord: Chord): boolean {
  return chord.quality.degrees.length <= 3;
}

/** The chord after the span, when a dominant can lead to it: any but a diminished one, seen from its bass. */
export function target(site: Site): Chord | null {
  const { next } = site;
  return next === null || next.quality.family === 'diminished' ? null : next;
}
