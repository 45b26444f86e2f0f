import type { Chord } from '../chord/model.ts';
import { chromaOf, midiOf, modulo, type Spelled } from '../pitch/spelled.ts';
import { type GuitarSetup, guitarShapes, isStretch, STANDARD_GUITAR } from './guitar.ts';
import { guitarShapesOverBass } from './guitar-bass.ts';
import { mudOver } from './limits.ts';
import type { Voicing } from './model.ts';
import { pianoVoicings } from './piano.ts';

/** Who voices, and what the search should like. */
export interface PathOptions {
  readonly instrument: 'guitar' | 'piano';
  readonly guitar?: GuitarSetup;
  /** Whether a bass plays the roots; rootless shapes are then welcome. */
  readonly withBass: boolean;
  /**
   * Kinds to keep to, such as `drop 2` or `shell`; absent takes any. A chord that has none of them, or none
   * that does what `topLine` and `below` ask, takes any.
   */
  readonly kinds?: readonly string[];
  /** MIDI note on top of each chord that has such a voicing, by its place in the run: a melody to harmonise. Null: any. */
  readonly topLine?: readonly (number | null)[];
  /** MIDI note each chord stays under where it has such a voicing, by its place in the run: a melody somebody else plays. Null: none. */
  readonly below?: readonly (number | null)[];
}

/** Costs of a voicing by itself, in semitones of annoyance, each with its reason. */
const COST = {
  /** A stretch of the hand. */
  stretch: 4,
  /** Semitone below the low interval limits. */
  mud: 2,
  /** Semitone of the top note away from the middle of the comping register. */
  register: 0.35,
  /** Two-note shapes are for small moments. */
  thin: 5,
  /** Doubling the bass player's root at the bottom. */
  rootWithBass: 2,
  /** Another note than the chord's bass at the bottom where no bass player has it. */
  bassMissing: 40,
  /** Semitone of such a bass above C3: a bass sounds low. */
  highBass: 0.8,
  /** Semitone of the top note away from the one that is wanted there: dearer than any move of the hand. */
  topLine: 8,
  /** Semitone by which the top note is not under what it should stay under. */
  above: 12,
  /** Layouts other than close, drop 2, drop 3 and shells. */
  oddLayout: 3,
  /**
   * A rootless shape with neither third nor seventh at the bottom: from five to one the voices of the forms
   * fall together (tests/reference/voicing.json, rule `V-I-down`), which nearer ones without them do not.
   */
  formless: 3,
} as const;

/** Top note the search aims at: G4 for guitar (common practice, no source), F4 for piano, which keeps rootless shapes between Eb3 and A4 (tests/reference/voicing.json, rule `range-rootless`). */
const AIM = { guitar: 67, piano: 65 } as const;
/** Where a bass is looked for without a bass player: C3 or lower, the lower strings of a guitar (common practice, no source). */
const BASS_AIM = 48;
/** Candidates kept for each chord: enough that the best path never wants another, few enough to be quick. */
export const KEPT = 24;

/** A voicing as the search sees it. */
export interface Candidate {
  readonly voicing: Voicing;
  readonly midi: readonly number[];
  /** Highest note. */
  readonly top: number;
  /** Lowest fretted fret; -1 for piano and open shapes. */
  readonly position: number;
  readonly cost: number;
}

/** What may be played for one chord, the likeliest first. */
export type Column = readonly Candidate[];

/** The column of a silence. */
export const NOBODY: Column = [];

/** What one place of a run asks of the top note. */
export interface TopLimits {
  readonly top: number | null;
  readonly below: number | null;
}

export const FREE: TopLimits = { top: null, below: null };

/** What the wishes of a run ask at one place of it. */
export function limitsAt({ topLine, below }: PathOptions, at: number): TopLimits {
  return topLine || below ? { top: topLine?.[at] ?? null, below: below?.[at] ?? null } : FREE;
}

/** Columns worked out so far, by who voices and by chord. Emptied when it is full: no tune has so many. */
const COLUMNS = new Map<string, Column>();
const MOST_COLUMNS = 512;

/** The column of a chord in the hands of one player. The same chord always gives the same column. */
export function columnsWith(options: PathOptions): (chord: Chord, limits: TopLimits) => Column {
  const { instrument, guitar, withBass, kinds } = options;
  const player = JSON.stringify([instrument, guitar, withBass, kinds]);
  return (chord, limits) => {
    const asked = `${chord.root}/${chord.quality.mask}/${chord.bass}/${limits.top}/${limits.below}`;
    const key = `${asked}/${player}`;
    let column = COLUMNS.get(key);
    if (!column) {
      column = columnOf(chord, options, limits);
      if (COLUMNS.size >= MOST_COLUMNS) COLUMNS.clear();
      COLUMNS.set(key, column);
    }
    return column;
  };
}

function columnOf(chord: Chord, options: PathOptions, limits: TopLimits): Column {
  const all = voicingsOf(chord, options);
  const liked = options.kinds
    ? all.filter((voicing) => options.kinds?.includes(voicing.kind))
    : all;
  const asked = [liked, all].map((voicings) => voicings.filter((each) => meets(each, limits)));
  const chosen = [...asked, liked].find((voicings) => voicings.length > 0) ?? all;
  return chosen
    .map((voicing) => candidateOf(voicing, chord, options, limits))
    .sort((a, b) => a.cost - b.cost)
    .slice(0, KEPT);
}

/** Whether a voicing has the top note it should have, and stays under what it should stay under. */
function meets({ pitches }: Voicing, { top: wanted, below }: TopLimits): boolean {
  const last = pitches.at(-1);
  const top = last ? midiOf(last) : 0;
  return (wanted === null || top === wanted) && (below === null || top < below);
}

function voicingsOf(chord: Chord, { instrument, guitar, withBass }: PathOptions): Voicing[] {
  if (instrument === 'piano') return pianoVoicings(chord, { withBass });
  const setup = guitar ?? STANDARD_GUITAR;
  const shapes = guitarShapes(chord, setup);
  return withBass ? shapes : [...shapes, ...guitarShapesOverBass(chord, setup)];
}

/** A voicing of a chord with what it costs by itself. */
export function candidateOf(
  voicing: Voicing,
  chord: Chord,
  options: PathOptions,
  limits = FREE,
): Candidate {
  const midi = voicing.pitches.map(midiOf);
  const { position, span } = handOn(voicing.frets ?? []);
  const top = midi.at(-1) ?? 0;
  let cost = limits.top === null ? Math.abs(top - AIM[options.instrument]) * COST.register : 0;
  cost += bottomCost(midi[0] ?? 0, chord, options.withBass) + topCost(top, limits);
  cost += mudOver(chromaOf(chord.root), midi) * COST.mud;
  if (midi.length < 3) cost += COST.thin;
  if (isStretch(span, position)) cost += COST.stretch;
  if (!/close|drop|shell|rootless|triad|spread|quartal/.test(voicing.kind)) cost += COST.oddLayout;
  if (voicing.kind === 'rootless') cost += COST.formless;
  return { voicing, midi, top, position, cost };
}

/** Lowest fretted fret and how many frets the hand spans above it; -1 and 0 for open shapes. */
function handOn(frets: readonly (number | null)[]): { position: number; span: number } {
  let lowest = Number.POSITIVE_INFINITY;
  let highest = 0;
  for (const fret of frets) {
    if (fret === null || fret === 0) continue;
    lowest = Math.min(lowest, fret);
    highest = Math.max(highest, fret);
  }
  return highest === 0 ? { position: -1, span: 0 } : { position: lowest, span: highest - lowest };
}

/** With a bass player the root at the bottom is one too many; without one the chord's bass is wanted there. */
function bottomCost(bottom: number, chord: Chord, withBass: boolean): number {
  const isOn = (pc: Spelled): boolean => modulo(bottom - chromaOf(pc), 12) === 0;
  if (withBass) return isOn(chord.root) ? COST.rootWithBass : 0;
  const high = Math.max(0, bottom - BASS_AIM) * COST.highBass;
  return high + (isOn(chord.bass ?? chord.root) ? 0 : COST.bassMissing);
}

function topCost(top: number, { top: wanted, below }: TopLimits): number {
  const off = wanted === null ? 0 : Math.abs(top - wanted) * COST.topLine;
  return off + (below === null ? 0 : Math.max(0, top - below + 1) * COST.above);
}
