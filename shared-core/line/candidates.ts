import type { Chord } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { scaleFunctionOf } from '../chord/scale-function.ts';
import { scalesFor } from '../chord/scales.ts';
import { guideTones, notesOf } from '../chord/tones.ts';
import { inSignature, plainly } from '../pitch/copyist.ts';
import type { Key } from '../pitch/key.ts';
import { chromaOf, modulo, type Spelled } from '../pitch/spelled.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { chance } from './chance.ts';
import { harmonyAt } from './harmony-at.ts';
import type { LineInput, LineStory } from './model.ts';
import { GRID, type Onset } from './rhythm.ts';

/** Costs of a note where it stands, each with its reason; lower is better. */
const COST = {
  /** Guide tones say the chord; the root and fifth say it less. */
  guideTone: 0,
  chordTone: 0.35,
  root: 0.6,
  /** A scale tone between the beats is walking; on a beat it hangs. */
  scaleTone: 0.3,
  scaleOnBeat: 1.6,
  /** A chromatic note leads somewhere or is wrong; leading is a spice. */
  chromatic: 0.9,
  /** It leads from between the beats; on one it is heard as a note of its own. */
  chromaticOnBeat: 0.6,
  /** The note that tells, and the note that brings it home: the point of the whole line. */
  tells: -2.5,
  home: -6,
  /** A semitone away from the arch of the phrase. */
  arch: 0.07,
  /** Spread of the dice: what makes one seed's line differ from another's. */
  dice: 0.7,
} as const;

/** A note that may stand at an onset. */
export interface Candidate {
  readonly midi: number;
  readonly pc: Spelled;
  /** Of the chord, of its scale, or a semitone below or above the chord tone it leads into. */
  readonly kind: 'chord' | 'scale' | 'below' | 'above';
  readonly cost: number;
}

/**
 * The notes that may stand at every onset, with what each costs there: chord tones alone where the line has
 * to say the chord, its scale and chromatic leading notes between.
 */
export function columnsOf(input: LineInput, onsets: readonly Onset[]): Candidate[][] {
  const known = new Map<string, Palette>();
  return onsets.map((onset, index) => {
    const event = harmonyAt(input.harmony, onset.start);
    if (event?.harmony.kind !== 'chord') return [];
    const moment = momentOf(input, onset, onsets[index + 1], event);
    const palette = paletteOf(event.harmony, goalOf(input.harmony, event), input.key, known);
    return candidates(input, onset, palette, moment);
  });
}

interface Moment {
  readonly strong: boolean;
  /** Chord of the next onset; a chromatic note leads into one of its tones. */
  readonly leadsTo: Chord | null;
  readonly story: LineStory | undefined;
}

function momentOf(
  input: LineInput,
  onset: Onset,
  next: Onset | undefined,
  event: TimedHarmony,
): Moment {
  const target = next && harmonyAt(input.harmony, next.start);
  return {
    strong: onset.weight >= 3 || event.start === onset.start || onset.ends,
    leadsTo: target?.harmony.kind === 'chord' ? target.harmony : null,
    story: input.stories?.find(
      ({ start, length }) => onset.start >= start && onset.start <= start + length,
    ),
  };
}

/** What a chord offers: its tones, its guide tones, and its scale. */
interface Palette {
  readonly chord: Chord;
  readonly tones: ReadonlyMap<number, Spelled>;
  readonly guides: ReadonlySet<number>;
  readonly scale: ReadonlyMap<number, Spelled>;
}

/** The chord an event goes to: the next different one, round the end of the chorus; null where silence follows, or nothing else. */
function goalOf(harmony: readonly TimedHarmony[], event: TimedHarmony): Chord | null {
  const at = harmony.indexOf(event);
  for (let step = 1; step < harmony.length; step += 1) {
    const next = harmony[(at + step) % harmony.length]?.harmony;
    if (next === undefined || next.kind === 'none') return null;
    if (!sameChord(next, event.harmony)) return next;
  }
  return null;
}

function paletteOf(
  chord: Chord,
  goal: Chord | null,
  key: Key,
  known: Map<string, Palette>,
): Palette {
  const fn = scaleFunctionOf(chord, key, goal);
  const id = `${chord.root}.${chord.quality.mask}.${chord.bass}.${fn}`;
  let palette = known.get(id);
  if (!palette) {
    const [scale] = scalesFor(chord, key, fn);
    palette = {
      chord,
      tones: byChroma(tonesOn(chord, scale?.notes ?? [])),
      guides: new Set(guideTones(chord).map(chromaOf)),
      scale: byChroma((scale?.notes ?? []).map((pc) => readable(pc, key))),
    };
    known.set(id, palette);
  }
  return palette;
}

/**
 * The notes of a chord as a line spells them. The fifth and ninth of an alt chord are any altered ones: the
 * symbol names none, so they are read as its scale has them, Eb and Ab over C7alt.
 */
function tonesOn(chord: Chord, scale: readonly Spelled[]): readonly Spelled[] {
  const tones = notesOf(chord);
  if (!chord.quality.alt) return tones;
  return tones.map((pc) => scale.find((note) => chromaOf(note) === chromaOf(pc)) ?? pc);
}

/** A scale tone between the chords as it is read at sight: B over Bb7 and not Cb, unless the signature has it. */
function readable(pc: Spelled, key: Key): Spelled {
  return inSignature(key, pc) ? pc : plainly(pc);
}

function byChroma(notes: readonly Spelled[]): ReadonlyMap<number, Spelled> {
  return new Map(notes.map((pc) => [chromaOf(pc), pc]));
}

function candidates(input: LineInput, onset: Onset, palette: Palette, moment: Moment): Candidate[] {
  const found: Candidate[] = [];
  const targets = byChroma(moment.leadsTo ? notesOf(moment.leadsTo) : []);
  for (let midi = input.compass.low; midi <= input.compass.high; midi++) {
    const chroma = modulo(midi, 12);
    const tone = palette.tones.get(chroma);
    const note =
      tone === undefined
        ? moment.strong
          ? null
          : between(palette, chroma, onset, targets)
        : { pc: tone, kind: 'chord' as const, cost: toneCost(palette, chroma, onset, moment) };
    if (!note) continue;
    const dice = chance(input.seed, onset.start, midi) * COST.dice;
    found.push({ ...note, midi, cost: note.cost + archCost(input, onset, midi) + dice });
  }
  return found;
}

/** A note that is none of the chord's: a step of the scale, or a short one that leads into a tone of the next chord. */
function between(
  { scale }: Palette,
  chroma: number,
  { weight, length }: Onset,
  targets: ReadonlyMap<number, Spelled>,
): Omit<Candidate, 'midi'> | null {
  const step = scale.get(chroma);
  if (step !== undefined) {
    return { pc: step, kind: 'scale', cost: weight >= 2 ? COST.scaleOnBeat : COST.scaleTone };
  }
  if (length > GRID) return null;
  const cost = COST.chromatic + (weight >= 2 ? COST.chromaticOnBeat : 0);
  const above = targets.get(modulo(chroma + 1, 12));
  if (above !== undefined) return { pc: plainly(above + 5), kind: 'below', cost };
  const below = targets.get(modulo(chroma - 1, 12));
  if (below === undefined) return null;
  return { pc: plainly(below - 5), kind: 'above', cost: cost * 1.5 };
}

function toneCost(
  palette: Palette,
  chroma: number,
  onset: Onset,
  { strong, story }: Moment,
): number {
  if (story) {
    const inside = onset.start < story.start + story.length;
    if (inside && story.tells !== null && chromaOf(story.tells) === chroma) return COST.tells;
    if (!inside && story.home !== null && chromaOf(story.home) === chroma) return COST.home;
  }
  if (palette.guides.has(chroma)) return COST.guideTone;
  if (chroma === chromaOf(palette.chord.root)) return strong ? COST.root : COST.chordTone;
  return COST.chordTone;
}

/** The arch of a line: it climbs and falls over four bars, differently by seed. */
function archCost({ bars, compass, seed }: LineInput, onset: Onset, midi: number): number {
  const bar = bars[onset.bar];
  const through = bar ? (onset.bar % 4) / 4 + (onset.start - bar.start) / bar.length / 4 : 0;
  const phase = chance(seed, Math.floor(onset.bar / 4), 3);
  const middle = (compass.low + compass.high) / 2;
  const reach = Math.min(9, (compass.high - compass.low) / 2.5);
  const height = 1 - 4 * Math.abs(modulo(through + phase, 1) - 0.5);
  return Math.abs(midi - (middle + height * reach)) * COST.arch;
}
