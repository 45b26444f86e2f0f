import type { ChordQuality } from '../chord/model.ts';
import { modulo } from '../pitch/spelled.ts';

/** A tone a hand may play: semitones above the root within the octave, and its spelling above the root. */
export interface Tone {
  readonly semitones: number;
  readonly fifths: number;
  /** Degree number 1-13, for naming the kind of a voicing. */
  readonly number: number;
}

/** The choices of tones a player has for one quality, most usual first. Each is a set, low order not implied. */
export interface ToneSet {
  readonly tones: readonly Tone[];
  readonly kind: 'four' | 'shell' | 'guide' | 'rootless' | 'triad' | 'quartal';
}

const NINTH: Tone = { semitones: 2, fifths: 2, number: 9 };
const FLAT_NINTH: Tone = { semitones: 1, fifths: -5, number: 9 };
const FLAT_THIRTEENTH: Tone = { semitones: 8, fifths: -4, number: 13 };
const THIRTEENTH: Tone = { semitones: 9, fifths: 3, number: 13 };
const FOURTH: Tone = { semitones: 5, fifths: -1, number: 11 };

const sets = new WeakMap<ChordQuality, readonly ToneSet[]>();

/**
 * Tone sets for a quality. Rules: third and seventh (or what stands for them) are always there; with too
 * many notes the fifth goes first, then the root when a bass plays; rootless shapes put the ninth for the
 * root, and a plain dominant also the thirteenth for the fifth; half-diminished keeps its root.
 * Source: rows `omit`, `ninth-for-root` and `rootless_forms` of tests/reference/voicing.json.
 */
export function toneSets(quality: ChordQuality): readonly ToneSet[] {
  let known = sets.get(quality);
  if (!known) {
    known = build(quality);
    sets.set(quality, known);
  }
  return known;
}

/** The tone a quality has at one of these degree numbers, first found first. */
function toneAt(quality: ChordQuality, ...numbers: number[]): Tone | null {
  for (const number of numbers) {
    const index = quality.degrees.findIndex((degree) => degree.number === number);
    if (index < 0) continue;
    return {
      semitones: modulo(quality.semitones[index] ?? 0, 12),
      fifths: quality.fifths[index] ?? 0,
      number,
    };
  }
  return null;
}

function build(quality: ChordQuality): ToneSet[] {
  const root = toneAt(quality, 1);
  const third = toneAt(quality, 3, 4, 2);
  const fifth = toneAt(quality, 5);
  const seventh = toneAt(quality, 7, 6);
  const extra = [toneAt(quality, 13), toneAt(quality, 11), toneAt(quality, 9)].filter(
    (tone) => tone !== null,
  );
  const found: ToneSet[] = [];
  const add = (kind: ToneSet['kind'], ...tones: (Tone | null)[]): void => {
    const present = tones.filter((tone) => tone !== null);
    if (present.length < tones.length) return;
    if (new Set(present.map((tone) => tone.semitones)).size === present.length)
      found.push({ kind, tones: present });
  };
  if (quality.alt) {
    add('rootless', third, FLAT_THIRTEENTH, seventh, FLAT_NINTH);
    add('shell', root, third, seventh);
    add('guide', third, seventh);
    return found;
  }
  if (!seventh) {
    add('triad', root, third, fifth);
    if (extra[0]) add('four', root, third, fifth, extra[0]);
    if (found.length === 0) add('triad', root, third ?? fifth);
    return found;
  }
  const colour = extra.filter((tone) => tone.number !== third?.number);
  if (colour.length === 0) add('four', root, third, fifth, seventh);
  for (const tone of colour) add('four', root, third, seventh, tone);
  for (const set of rootless(quality, third, fifth, seventh, colour)) add('rootless', ...set);
  if (colour.length === 0) {
    add('shell', root, third, seventh);
    add('guide', third, seventh);
  }
  if (quality.family === 'suspended' || (quality.family === 'minor' && seventh.number === 7)) {
    add('quartal', root, FOURTH, toneAt(quality, 7), quality.family === 'minor' ? third : NINTH);
  }
  return found;
}

function rootless(
  quality: ChordQuality,
  third: Tone | null,
  fifth: Tone | null,
  seventh: Tone | null,
  colour: readonly Tone[],
): (Tone | null)[][] {
  if (quality.family === 'half-diminished' || quality.family === 'diminished') return [];
  const ninth =
    colour.find((tone) => tone.number === 9) ??
    (colour.some((tone) => tone.number === 11) ? NINTH : null);
  const plainDominant = quality.family === 'dominant' && fifth?.semitones === 7;
  if (colour.length === 0) {
    const full: (Tone | null)[][] = [[third, fifth, seventh, NINTH]];
    if (plainDominant) full.unshift([third, THIRTEENTH, seventh, NINTH]);
    return full;
  }
  const upper = colour.find((tone) => tone.number === 13 || tone.number === 11) ?? fifth;
  return [[third, upper, seventh, ninth ?? NINTH]];
}
