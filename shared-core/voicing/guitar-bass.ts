import type { Chord } from '../chord/model.ts';
import { chromaOf, midiOf, modulo, pitchAt } from '../pitch/spelled.ts';
import { type GuitarSetup, guitarShapes, STANDARD_GUITAR, widestSpan } from './guitar.ts';
import type { Voicing } from './model.ts';

/** Fingers of the fretting hand. Source: tests/reference/guitar.json, `playability`, row `fingers`. */
const FINGERS = 4;

/**
 * Shapes of a chord with its bass (the note after the slash, else the root) put under them on a lower
 * string: what a guitarist plays where nobody else has the bass. Four fingers or fewer, in reach, one muted
 * string at most between the bass and the rest. Only triads have room for the bass twice.
 */
export function guitarShapesOverBass(chord: Chord, setup = STANDARD_GUITAR): Voicing[] {
  const bass = chord.bass ?? chord.root;
  return guitarShapes(chord, setup).flatMap((shape) => {
    const { frets = [], pitches } = shape;
    const twice = pitches.some(({ pc }) => chromaOf(pc) === chromaOf(bass));
    if (twice && shape.kind !== 'triad') return [];
    const lowest = frets.findIndex((fret) => fret !== null);
    return [lowest - 1, lowest - 2].flatMap((string): Voicing[] => {
      const open = setup.tuning[string];
      if (open === undefined) return [];
      const found: Voicing[] = [];
      const first = setup.capo + modulo(chromaOf(bass) - open - setup.capo, 12);
      for (let fret = first; fret <= setup.highestFret; fret += 12) {
        const low = pitchAt(open + fret, bass);
        const whole = frets.map((other, at) => (at === string ? fret : other));
        if (midiOf(low) < lowestOf(shape) && inReach(whole, setup))
          found.push({ pitches: [low, ...pitches], kind: shape.kind, frets: whole });
      }
      return found;
    });
  });
}

function lowestOf({ pitches: [lowest] }: Voicing): number {
  return lowest ? midiOf(lowest) : 0;
}

function inReach(frets: readonly (number | null)[], { capo }: GuitarSetup): boolean {
  const fretted = frets.filter((fret): fret is number => fret !== null && fret > capo);
  if (fretted.length > FINGERS) return false;
  const low = Math.min(...fretted);
  return fretted.length === 0 || Math.max(...fretted) - low <= widestSpan(low);
}
