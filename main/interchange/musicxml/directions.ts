import { LIMITS } from '../limits.ts';
import { endingNumbers, putSign, signOf } from '../signs.ts';
import type { Measure, Reader } from './reader.ts';
import { child, childrenOf, numberOf, textOf, type Xml } from './tree.ts';

/** Words, signs and tempo above a bar. */
export function readDirection(reader: Reader, measure: Measure, direction: Xml): void {
  const types = childrenOf(direction, 'direction-type').flatMap((type) => type.children);
  const words = types
    .filter(({ name }) => name === 'words')
    .map(({ text }) => text.trim())
    .join(' ')
    .trim();
  const sound = child(direction, 'sound');
  const leaves = sound?.attributes.tocoda !== undefined || /^to$/iu.test(words);
  for (const type of types) {
    if (type.name === 'segno') measure.bar.marks.add('segno');
    if (type.name === 'coda') measure.bar.marks.add(leaves ? 'to-coda' : 'coda');
    if (type.name === 'rehearsal') measure.bar.label = type.text.trim();
    if (type.name === 'metronome') readMetronome(reader, type);
  }
  const sign = signOf(words);
  if (sign) putSign(measure.bar, sign);
  else if (measure.number === 1 && words !== '' && words.length <= 60) reader.words ??= words;
  if (sound) readSound(reader, measure, sound);
}

/** What a bar does to the playing: tempo, jumps, marks. */
export function readSound(reader: Reader, measure: Measure, sound: Xml): void {
  const { attributes } = sound;
  if (attributes.tempo !== undefined) reader.quarters ??= Number(attributes.tempo);
  if (attributes.dacapo === 'yes') putSign(measure.bar, { to: 'capo', al: 'end' });
  if (attributes.dalsegno !== undefined) putSign(measure.bar, { to: 'segno', al: 'end' });
  if (attributes.tocoda !== undefined) measure.bar.marks.add('to-coda');
  if (attributes.fine !== undefined) measure.bar.marks.add('fine');
  if (attributes.segno !== undefined) measure.bar.marks.add('segno');
  if (attributes.coda !== undefined && !measure.bar.marks.has('to-coda'))
    measure.bar.marks.add('coda');
}

const BEAT_UNITS: Readonly<Record<string, number>> = {
  whole: 4,
  half: 2,
  quarter: 1,
  eighth: 0.5,
  '16th': 0.25,
};

function readMetronome(reader: Reader, metronome: Xml): void {
  const unit = BEAT_UNITS[textOf(metronome, 'beat-unit')];
  const beats = numberOf(metronome, 'per-minute', Number.NaN);
  if (unit === undefined || !(beats > 0)) return;
  const dotted = child(metronome, 'beat-unit-dot') ? 1.5 : 1;
  reader.quarters ??= beats * unit * dotted;
}

/** Repeats, endings and signs at a bar line. */
export function readBarline(measure: Measure, barline: Xml): void {
  const { bar } = measure;
  const repeat = child(barline, 'repeat');
  if (repeat?.attributes.direction === 'forward') bar.repeatStart = true;
  if (repeat?.attributes.direction === 'backward') {
    const times = Math.round(Number(repeat.attributes.times ?? 2));
    bar.repeatEnd = Number.isFinite(times) ? Math.min(Math.max(times, 2), LIMITS.passes) : 2;
  }
  const ending = child(barline, 'ending');
  if (ending?.attributes.type === 'start') {
    const numbers = endingNumbers(ending.attributes.number ?? '');
    bar.endings = numbers.length > 0 ? numbers : endingNumbers(ending.text);
  }
  if (child(barline, 'segno')) bar.marks.add('segno');
  if (child(barline, 'coda')) bar.marks.add('coda');
}
