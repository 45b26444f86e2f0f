import type { Chord, ChordQuality } from '../chord/model.ts';
import { chromaOf, midiOf, modulo, pitchAt } from '../pitch/spelled.ts';
import { mud } from './limits.ts';
import { type Tone, toneSets } from './material.ts';
import type { Voicing } from './model.ts';

/** What the pianist's hands have to cover. */
export interface PianoSetup {
  /** Whether somebody else plays the root. */
  readonly withBass: boolean;
}

/**
 * Where rootless voicings sound best: about a sixth either side of middle C.
 * Source: tests/reference/voicing.json, rule `range-rootless` (Eb3 to A4).
 */
const ROOTLESS_LOW = 51;
const ROOTLESS_HIGH = 69;
/** A left-hand root below the upper notes of a spread voicing. */
const ROOT_LOW = 36;
const ROOT_HIGH = 48;

/**
 * Piano voicings of a chord: rootless A (third at the bottom) and B (seventh at the bottom) and shells with
 * a bass player; spread voicings with the root in the left hand without one. Low to high.
 */
export function pianoVoicings(chord: Chord, setup: PianoSetup): Voicing[] {
  const upper = upperVoicings(chord);
  if (setup.withBass) return upper;
  return upper.flatMap((voicing) => spread(chord, voicing));
}

function upperVoicings(chord: Chord): Voicing[] {
  const found: Voicing[] = [];
  const sets = toneSets(chord.quality).filter(
    (set) => set.kind !== 'guide' && set.kind !== 'quartal',
  );
  const rootless = sets.filter((set) => set.kind === 'rootless');
  for (const set of rootless.length > 0 ? rootless : sets) {
    for (let bottom = 0; bottom < set.tones.length; bottom++) {
      const kind = nameOfForm(set.kind, set.tones, bottom, chord.quality);
      found.push(...closeFrom(chord, set.tones, bottom, kind));
    }
  }
  return found;
}

/** Form names by the lowest tone: A the third, B the seventh (or sixth); the naming differs between books, so degrees decide. */
function nameOfForm(
  kind: string,
  tones: readonly Tone[],
  bottom: number,
  quality: ChordQuality,
): string {
  const lowest = tones[bottom]?.number;
  const form = lowest === 3 || lowest === 4 ? ' A' : lowest === 7 || lowest === 6 ? ' B' : '';
  if (kind === 'rootless') return `rootless${form}`;
  return quality.family === 'half-diminished' && form ? `close${form}` : 'close';
}

function closeFrom(chord: Chord, tones: readonly Tone[], bottom: number, kind: string): Voicing[] {
  const base = tones[bottom];
  if (!base) return [];
  const root = chromaOf(chord.root);
  const inOrder = [...tones].sort(
    (a, b) => modulo(a.semitones - base.semitones, 12) - modulo(b.semitones - base.semitones, 12),
  );
  const found: Voicing[] = [];
  const first = modulo(root + base.semitones, 12);
  for (let low = first + 36; low <= ROOTLESS_HIGH; low += 12) {
    if (low < ROOTLESS_LOW) continue;
    const pitches = inOrder.map((tone) =>
      pitchAt(low + modulo(tone.semitones - base.semitones, 12), chord.root + tone.fifths),
    );
    const top = pitches.at(-1);
    if (top && midiOf(top) <= ROOTLESS_HIGH + 8) found.push({ pitches, kind });
  }
  return found;
}

function spread(chord: Chord, upper: Voicing): Voicing[] {
  const root = modulo(chromaOf(chord.bass ?? chord.root), 12);
  const found: Voicing[] = [];
  for (let low = root + 24; low <= ROOT_HIGH; low += 12) {
    if (low < ROOT_LOW) continue;
    const pitches = [pitchAt(low, chord.bass ?? chord.root), ...upper.pitches];
    if (mud(pitches.map(midiOf)) === 0) found.push({ pitches, kind: 'spread' });
  }
  return found;
}
