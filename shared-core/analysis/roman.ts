import type { Chord, ChordQuality } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import { chromaOf, modulo, type Spelled } from '../pitch/spelled.ts';
import { CLASS, heard } from './facts.ts';

const NUMERALS = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'] as const;

/** Degrees of the major scale by place on the line of fifths above the tonic, from IV (-1) to VII (5). */
const BY_FIFTH = [3, 0, 4, 1, 5, 2, 6] as const;

/** Chromatic degrees as the trade names them, by semitones above the tonic. */
const BY_SEMITONE = [
  'I',
  'bII',
  'II',
  'bIII',
  'III',
  'IV',
  '#IV',
  'V',
  'bVI',
  'VI',
  'bVII',
  'VII',
] as const;

/** Chromatic degrees that may be written otherwise than in {@link BY_SEMITONE}. */
const USUAL = new Set(['bII', 'bIII', 'bV', '#IV', 'bVI', 'bVII']);

/** Raised degrees are names of diminished chords that pass upwards (#i to ii); others write bII for B in Bb. */
const RAISED = new Set(['#I', '#II', '#V']);

/**
 * Degree of a root in a key, counted against the major scale in both modes (the trade's habit: bIII,
 * bVI and bVII in minor). The written spelling is kept where it is a usual one: F# in C is #IV, Gb is
 * bV; a spelling the trade has no degree for (Fb in C) is named by its sound.
 *
 * @param passing whether the chord is diminished: then #I, #II and #V are usual too
 * @example degreeName(-3, { tonic: 0, mode: 'minor' }) // 'bIII'
 */
export function degreeName(root: Spelled, key: Key, passing = false): string {
  const fifths = root - key.tonic;
  const alter = Math.floor((fifths + 1) / 7);
  const numeral = NUMERALS[BY_FIFTH[modulo(fifths + 1, 7)] ?? 0] ?? 'I';
  if (alter === 0) return numeral;
  const name = (alter === -1 ? 'b' : alter === 1 ? '#' : '?') + numeral;
  if (USUAL.has(name) || (passing && RAISED.has(name))) return name;
  return BY_SEMITONE[modulo(chromaOf(root) - chromaOf(key.tonic), 12)] ?? 'I';
}

/** Whether a family takes a small numeral. */
function isSmall(quality: ChordQuality): boolean {
  return (
    quality.family === 'minor' ||
    quality.family === 'half-diminished' ||
    quality.family === 'diminished'
  );
}

/** Numeral of a chord without its figures: `ii`, `V`, `bVII`. Used after the slash of `V7/ii`. */
export function numeralOf(chord: Chord, key: Key): string {
  const { family } = chord.quality;
  const passing = family === 'diminished' || family === 'half-diminished';
  const degree = degreeName(chord.root, key, passing);
  return isSmall(chord.quality) ? degree.toLowerCase() : degree;
}

/** Figures after the numeral: `7`, `maj7`, `ø7`, `°7`, `7b9`. */
export function figuresOf(quality: ChordQuality): string {
  const { suffix, family } = quality;
  if (family === 'half-diminished') return `ø${suffix.replace(/^m/, '').replace(/\(?b5\)?/, '')}`;
  if (family === 'diminished') return suffix.replace(/^dim/, '°');
  if (family === 'minor') return suffix.replace(/^m(?!aj)/, '').replace(/^Maj/, 'maj');
  if (suffix === 'aug') return '+';
  return suffix;
}

/** Figures of a chord that is heard on its bass; see `facts.ts`. */
const HEARD_FIGURES: Partial<Record<number, string>> = {
  [CLASS.sus]: '7sus4',
  [CLASS.min7]: '7',
  [CLASS.hdim]: 'ø7',
  [CLASS.maj7]: 'maj7',
};

/** Figures of a chord as it is heard: those of Dm7/G are `7sus4`. */
export function figuresHeard(chord: Chord): string {
  const sound = heard(chord);
  const own = figuresOf(chord.quality);
  return sound.root === chromaOf(chord.root) ? own : (HEARD_FIGURES[sound.class] ?? own);
}

/**
 * Roman numeral of a chord in a key: numeral by degree (small for minor and diminished) and figures. A
 * chord whose bass makes another chord of it is named as it is heard: Dm7/G in C is V7sus4. Where the
 * bass is merely foreign, its degree follows a stroke: D/Eb in Eb is VII/I.
 *
 * @example romanOf(chord(2, 'm7'), { tonic: 0, mode: 'major' }) // 'ii7'
 */
export function romanOf(chord: Chord, key: Key): string {
  const written = numeralOf(chord, key) + figuresOf(chord.quality);
  if (chord.bass === null) return written;
  const sound = heard(chord);
  if (sound.root === chromaOf(chord.root)) return written;
  const degree = degreeName(chord.bass, key);
  const figures = HEARD_FIGURES[sound.class];
  if (figures === undefined) return `${written}/${degree}`;
  const small = sound.class === CLASS.min7 || sound.class === CLASS.hdim;
  return (small ? degree.toLowerCase() : degree) + figures;
}
