import { describe, expect, test } from 'vitest';
import { changesOf, keyNamed, meterNamed, readingsOf } from '../../tests/support/site.ts';
import type { DeviceName } from '../analysis/model.ts';
import { symbolOf } from '../chord/format.ts';
import { DEVICES, deviceByName } from './index.ts';

/** Devices read backwards: what each sees in written changes, and what none may see in plain ones. */

const METER = meterNamed('4/4');

/** Symbols of the chords on which a device is recognised. */
function seenBy(name: DeviceName, keyText: string, bars: string): string[] {
  const chords = readingsOf(keyNamed(keyText), changesOf(bars, METER), METER);
  return chords
    .filter((_, index) => deviceByName(name).recognise(chords, index) !== null)
    .map((chord) => symbolOf(chord.harmony));
}

const CASES: readonly (readonly [DeviceName, string, string, readonly string[]])[] = [
  ['minor-four', 'C major', '| Cmaj7 | Fmaj7 Fm6 | Cmaj7 | Dm7 G7 |', ['Fm6']],
  ['minor-four', 'C major', '| Cmaj7 | Fmaj7 Fm7 | Em7 | Dm7 G7 |', ['Fm7']],
  ['side-step', 'D minor', '| Dm7 | Ebm7 | Dm7 | A7 |', ['Ebm7']],
  ['blues-four', 'F major', '| F7 | Bb7 | F7 | C7 |', ['Bb7']],
  ['blues-four', 'F major', '| F7 | Bb7 Bdim7 | F7 | C7 |', ['Bb7']],
  ['backdoor', 'C major', '| Cmaj7 | Bb7 | Cmaj7 | G7 |', ['Bb7']],
  ['backdoor', 'Eb major', '| Ebmaj7 | Abm7 Db7 | Ebmaj7 | Bb7 |', ['Abm7', 'Db7']],
  ['lead-in-dominant', 'C major', '| Cmaj7 E7 | Am7 | Dm7 | G7 |', ['E7']],
  ['related-two-five', 'C major', '| Cmaj7 | Bm7b5 E7 | Am7 | G7 |', ['Bm7b5']],
  ['tritone-substitute', 'C major', '| Dm7 | Db7 | Cmaj7 | G7 |', ['Db7']],
  ['tritone-substitute', 'C major', '| Cmaj7 | Abm7 Db7 | Cmaj7 | G7 |', ['Abm7', 'Db7']],
  ['passing-diminished', 'C major', '| Cmaj7 C#dim7 | Dm7 G7 |', ['C#dim7']],
  ['passing-diminished', 'C major', '| Em7 Ebdim7 | Dm7 G7 |', ['Ebdim7']],
  ['passing-diminished', 'G major', '| C7 C#dim7 | G7/D | D7 |', ['C#dim7']],
  ['common-tone-diminished', 'C major', '| Cmaj7 Cdim7 | Cmaj7 G7 |', ['Cdim7']],
  ['dominant-chain', 'C major', '| Cmaj7 | E7 A7 | D7 G7 |', ['E7', 'A7', 'D7']],
  ['line-cliche', 'A minor', '| Am | AmMaj7 | Am7 | Am6 | E7 |', ['AmMaj7', 'Am7', 'Am6']],
  ['line-cliche', 'C major', '| C | C+ | C6 | C7 | F | G7 |', ['Caug', 'C6', 'C7']],
  ['pedal-point', 'C major', '| Cmaj7 | Dm7/C | G7 |', ['Dm7/C']],
  [
    'major-thirds-cycle',
    'C major',
    '| Dm7 Eb7 | Abmaj7 B7 | Emaj7 G7 | Cmaj7 |',
    ['Eb7', 'Abmaj7', 'B7', 'Emaj7', 'G7'],
  ],
  [
    'parallel-motion',
    'F major',
    '| Fmaj7 | Abmaj7 | Dbmaj7 | Gbmaj7 | C7 |',
    ['Abmaj7', 'Dbmaj7', 'Gbmaj7'],
  ],
  ['modal-interchange', 'C major', '| Cmaj7 | Abmaj7 | Cmaj7 | G7 |', ['Abmaj7']],
  ['turnaround', 'C major', '| Cmaj7 A7 | Dm7 G7 |', ['A7', 'Dm7', 'G7']],
  ['suspended-preparation', 'C major', '| G7sus4 G7 | Cmaj7 |', ['G7sus4']],
  ['two-five-split', 'C major', '| Dm7 G7 | Dm7 G7 | Cmaj7 |', ['Dm7']],
  ['early-arrival', 'C major', '| Cmaj7 / / Fmaj7 |', []],
];

describe('what is there is seen', () => {
  test.each(CASES)('%s in %s: %s', (name, key, bars, wanted) => {
    expect(seenBy(name, key, bars)).toEqual(wanted);
  });

  test('a chord struck late and again on its bar line came early', () => {
    const key = keyNamed('C major');
    const changes = [
      ...changesOf('| Cmaj7 / / Fmaj7 |', METER),
      ...changesOf('| Fmaj7 |', METER).map((change) => ({ ...change, at: change.at + 3840 })),
    ];
    const chords = readingsOf(key, changes, METER);
    expect(deviceByName('early-arrival').recognise(chords, 1)?.prepares).toBe(2);
  });

  test('a recognition points at the chord it leads to, round the end of the form', () => {
    const chords = readingsOf(
      keyNamed('C major'),
      changesOf('| Cmaj7 | Dm7 | Db7 |', METER),
      METER,
    );
    const seen = deviceByName('tritone-substitute').recognise(chords, 2);
    expect(seen).toMatchObject({ chord: 2, prepares: 0, roman: 'subV7', function: 'dominant' });
  });
});

describe('what is not there is not seen', () => {
  test.each([
    ['C major', '| Dm7 | G7 | Cmaj7 |'],
    ['A minor', '| Bm7b5 | E7 | Am7 |'],
    ['C major', '| C | F | G | C |'],
    ['C major', '| Cmaj7 | Fmaj7 | Em7 | G7 |'],
    ['Eb major', '| Ebmaj7 |'],
  ])('nothing in %s %s', (key, bars) => {
    const chords = readingsOf(keyNamed(key), changesOf(bars, METER), METER);
    const seen = chords.flatMap((_, index) =>
      DEVICES.filter((device) => device.recognise(chords, index) !== null).map((d) => d.name),
    );
    expect(seen).toEqual([]);
  });

  test('a chain of fifths inside the key is not parallel motion', () => {
    expect(seenBy('parallel-motion', 'C major', '| Em7 | Am7 | Dm7 | G7 | Cmaj7 |')).toEqual([]);
  });

  test('an inversion is not a pedal', () => {
    expect(seenBy('pedal-point', 'C major', '| Em7 | Cmaj7/E | Dm7 | G7 |')).toEqual([]);
  });
});
