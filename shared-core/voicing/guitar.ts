import type { Chord, ChordQuality } from '../chord/model.ts';
import { chromaOf, modulo, pitchAt } from '../pitch/spelled.ts';
import { type Tone, type ToneSet, toneSets } from './material.ts';
import type { Voicing } from './model.ts';

/** How a guitar is strung and how far its player reaches. */
export interface GuitarSetup {
  /** Open strings as MIDI numbers, lowest string first. */
  readonly tuning: readonly number[];
  /** Highest fret used for comping. */
  readonly highestFret: number;
  /** Fret of a capo, 0 for none; frets are counted from the nut. */
  readonly capo: number;
}

/** Six strings in standard tuning. Source: tests/reference/guitar.json, row `standard`. */
export const STANDARD_GUITAR: GuitarSetup = {
  tuning: [40, 45, 50, 55, 59, 64],
  highestFret: 15,
  capo: 0,
};

/** A shape before it is put at a root: frets on root C with the lowest fret as low as it goes. */
interface Shape {
  readonly frets: readonly (number | null)[];
  readonly tones: readonly Tone[];
  readonly kind: string;
}

const shapes = new Map<string, WeakMap<ChordQuality, readonly Shape[]>>();

/**
 * Widest stretch (highest minus lowest fret) from a position on the neck: three frets are comfortable low
 * down and four a stretch, four comfortable from the ninth, five from the fifteenth.
 * Source: tests/reference/guitar.json, `playability`.
 */
export function widestSpan(lowestFret: number): number {
  if (lowestFret >= 15) return 5;
  return 4;
}

/** A shape on a neck stretches past what is comfortable there. */
export function isStretch(span: number, lowestFret: number): boolean {
  return span > (lowestFret >= 9 ? 4 : 3);
}

/**
 * All playable shapes of a chord on a neck: drop 2, drop 3, close and spread four-note shapes, shells,
 * guide tones, rootless and quartal ones; no two notes on a string, muted strings inside allowed, open
 * strings only where they fall in reach. Low to high in fret, pitches ascending.
 *
 * @throws RangeError when the setup has no strings.
 */
export function guitarShapes(chord: Chord, setup: GuitarSetup = STANDARD_GUITAR): Voicing[] {
  if (setup.tuning.length === 0) throw new RangeError('A guitar has at least one string');
  const up = chromaOf(chord.root);
  const found: Voicing[] = [];
  for (const shape of shapesOn(chord.quality, setup)) {
    for (let shift = up - 12; shift <= setup.highestFret; shift += 12) {
      const voicing = placed(shape, shift, chord, setup);
      if (voicing) found.push(voicing);
    }
  }
  return found;
}

function placed(shape: Shape, shift: number, chord: Chord, setup: GuitarSetup): Voicing | null {
  const frets = shape.frets.map((fret) => (fret === null ? null : fret + shift));
  const lowest = setup.capo === 0 ? 0 : setup.capo;
  let low = Number.POSITIVE_INFINITY;
  let high = 0;
  for (const fret of frets) {
    if (fret === null) continue;
    if (fret < lowest || fret > setup.highestFret) return null;
    if (fret > lowest) {
      low = Math.min(low, fret);
      high = Math.max(high, fret);
    }
  }
  if (high > 0 && high - low > widestSpan(low)) return null;
  const pitches = [];
  let tone = 0;
  for (const [string, fret] of frets.entries()) {
    if (fret === null) continue;
    pitches.push(
      pitchAt((setup.tuning[string] ?? 0) + fret, chord.root + (shape.tones[tone++]?.fifths ?? 0)),
    );
  }
  return { pitches, kind: shape.kind, frets };
}

/** Shapes are movable, so they are worked out once for a tuning and quality, on root C. */
function shapesOn(quality: ChordQuality, setup: GuitarSetup): readonly Shape[] {
  const key = setup.tuning.join();
  let table = shapes.get(key);
  if (!table) {
    table = new WeakMap();
    shapes.set(key, table);
  }
  let known = table.get(quality);
  if (!known) {
    known = toneSets(quality).flatMap((set) => search(set, setup.tuning));
    table.set(quality, known);
  }
  return known;
}

/** Every way to lay the tones of a set on the strings, lowest place on the neck, within five frets. */
function search(set: ToneSet, tuning: readonly number[]): Shape[] {
  const found = new Map<string, Shape>();
  const frets: (number | null)[] = new Array<number | null>(tuning.length).fill(null);
  const order: Tone[] = [];
  const visit = (string: number, left: readonly Tone[], lastPitch: number): void => {
    if (left.length === 0) {
      keep(found, frets, order, tuning, set);
      return;
    }
    if (tuning.length - string < left.length) return;
    visit(string + 1, left, lastPitch);
    const open = tuning[string] ?? 0;
    for (const tone of left) {
      const base = modulo(tone.semitones - open, 12);
      for (const fret of [base, base + 12]) {
        if (open + fret <= lastPitch || !inReach(frets, fret)) continue;
        frets[string] = fret;
        order.push(tone);
        visit(
          string + 1,
          left.filter((other) => other !== tone),
          open + fret,
        );
        order.pop();
        frets[string] = null;
      }
    }
  };
  visit(0, set.tones, -1);
  return [...found.values()];
}

function inReach(frets: readonly (number | null)[], fret: number): boolean {
  return frets.every((other) => other === null || Math.abs(other - fret) <= 5);
}

function keep(
  found: Map<string, Shape>,
  frets: readonly (number | null)[],
  order: readonly Tone[],
  tuning: readonly number[],
  set: ToneSet,
): void {
  const lowest = Math.min(...frets.filter((fret) => fret !== null));
  const shift = Math.floor(lowest / 12) * 12;
  const low = frets.map((fret) => (fret === null ? null : fret - shift));
  const key = low.join();
  if (found.has(key) || mutedInside(low) > 1) return;
  const midi = low.flatMap((fret, string) => (fret === null ? [] : [(tuning[string] ?? 0) + fret]));
  const kind = kindOf(set, midi);
  if (kind) found.set(key, { frets: low, tones: [...order], kind });
}

function mutedInside(frets: readonly (number | null)[]): number {
  const played = frets.flatMap((fret, string) => (fret === null ? [] : [string]));
  return (played.at(-1) ?? 0) - (played[0] ?? 0) + 1 - played.length;
}

/** Trade name of a voicing by how its notes lie; null for layouts nobody names and few would play. */
export function kindOf(set: Pick<ToneSet, 'kind'>, midi: readonly number[]): string | null {
  if (set.kind === 'shell') return 'shell';
  if (set.kind === 'guide') return 'guide tones';
  if (set.kind === 'quartal') return stackedFourths(midi) ? 'quartal' : null;
  if (set.kind === 'triad') return midi.length < 3 ? 'dyad' : 'triad';
  const layout = layoutOf(midi);
  if (!layout) return null;
  return set.kind === 'rootless' ? `rootless ${layout}` : layout;
}

function stackedFourths(midi: readonly number[]): boolean {
  return midi.every((note, index) => index === 0 || [5, 6].includes(note - (midi[index - 1] ?? 0)));
}

/** Close, drop 2 or drop 3: an octave added to the lowest note gives a close position back. */
function layoutOf(midi: readonly number[]): string | null {
  const [a = 0, b = 0, c = 0, d = 0] = midi;
  if (midi.length !== 4) return null;
  if (d - a < 12) return 'close';
  const raised = a + 12;
  if (d - b >= 12) return null;
  if (raised > c && raised < d) return 'drop 2';
  if (raised > b && raised < c) return 'drop 3';
  return null;
}
