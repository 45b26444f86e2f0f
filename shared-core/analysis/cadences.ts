import { sameKey } from '../pitch/key.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { barAt } from '../tune/address.ts';
import type { Chorus } from '../tune/model.ts';
import { canBeTonic, heard, isDominantClass } from './facts.ts';
import type { Cadence, ChordReading } from './model.ts';

/**
 * Where phrases come to rest. A cadence is an arrival on the local tonic by its dominant (perfect), by
 * the dominant a tone below (backdoor) or a semitone above (tritone), by its four (plagal); a dominant
 * of the tonic that goes elsewhere at a bar line (deceptive); a phrase that stops on its dominant
 * (half); and the way from the end of the form to its top (turnaround). Terms: common practice.
 */
export function cadencesOf(chorus: Chorus, chords: readonly ChordReading[]): Cadence[] {
  const cadences: Cadence[] = [];
  for (const chord of chords) {
    const cadence = arrivalAt(chorus, chords, chord) ?? halfAt(chorus, chords, chord);
    if (cadence !== null) cadences.push(cadence);
  }
  return cadences;
}

/** The chord before, around the form's end, skipping repeats of the same harmony. */
function before(chords: readonly ChordReading[], index: number): ChordReading | null {
  if (chords.length < 2) return null;
  const previous = chords[modulo(index - 1, chords.length)];
  return previous && previous.harmony.kind === 'chord' ? previous : null;
}

function arrivalAt(
  chorus: Chorus,
  chords: readonly ChordReading[],
  chord: ChordReading,
): Cadence | null {
  if (chord.harmony.kind !== 'chord') return null;
  const previous = before(chords, chord.index);
  if (previous === null || previous.harmony.kind !== 'chord') return null;
  const key = chord.localKey;
  const tonic = chromaOf(key.tonic);
  const degree = modulo(heard(chord.harmony).root - tonic, 12);
  const from = modulo(heard(previous.harmony).root - tonic, 12);
  const kind = cadenceKind(
    heard(previous.harmony).class,
    from,
    degree,
    chord,
    key.mode === 'minor',
  );
  if (kind === null || !sameKey(previous.localKey, key)) return null;
  if (kind === 'deceptive' && barAt(chorus, chord.start).start !== chord.start) return null;
  const chain = chainTo(chords, previous.index);
  const around = previous.index > chord.index;
  return {
    kind: around ? 'turnaround' : kind,
    arrival: chord.index,
    chords: [...chain, chord.index],
    key,
  };
}

function cadenceKind(
  fromClass: number,
  from: number,
  degree: number,
  chord: ChordReading,
  minor: boolean,
): Cadence['kind'] | null {
  const dominant = isDominantClass(fromClass);
  const plainFive = from === 7 && (dominant || canBeTonic(fromClass, false));
  if (degree === 0 && chord.function === 'home') {
    if (plainFive) return 'perfect';
    if (from === 10 && dominant) return 'backdoor';
    if (from === 1 && dominant) return 'tritone';
    if (from === 5) return 'plagal';
    return null;
  }
  const sixth = minor ? 8 : 9;
  return plainFive && (degree === sixth || degree === 4) && chord.function !== 'dominant'
    ? 'deceptive'
    : null;
}

/** The dominant at `index` with the two, and the four or six, that prepare it; in order. */
function chainTo(chords: readonly ChordReading[], index: number): number[] {
  const chain = [index];
  let head = index;
  for (let steps = 0; steps < 3; steps += 1) {
    const previous = before(chords, head);
    if (previous === null || previous.prepares !== head || previous.index > index) break;
    chain.unshift(previous.index);
    head = previous.index;
  }
  return chain;
}

/** A phrase of four or eight bars whose last chord is the dominant of its key. */
function halfAt(
  chorus: Chorus,
  chords: readonly ChordReading[],
  chord: ChordReading,
): Cadence | null {
  if (chord.harmony.kind !== 'chord') return null;
  const key = chord.localKey;
  const degree = modulo(heard(chord.harmony).root - chromaOf(key.tonic), 12);
  const kind = heard(chord.harmony).class;
  if (degree !== 7 || !(isDominantClass(kind) || canBeTonic(kind, false))) return null;
  const end = chord.start + chord.length;
  const next = chorus.bars[barAt(chorus, chord.start).index + 1];
  if (!next || !endsPhrase(chorus, end)) return null;
  return { kind: 'half', arrival: chord.index, chords: chainTo(chords, chord.index), key };
}

/** Whether a place is the start of a section, or of its every eighth bar. */
function endsPhrase(chorus: Chorus, at: number): boolean {
  if (at >= chorus.length) return false;
  const bar = barAt(chorus, at);
  if (bar.start !== at) return false;
  let index = bar.index;
  while (index > 0 && !chorus.bars[index]?.startsSection) index -= 1;
  return (bar.index - index) % 8 === 0;
}
