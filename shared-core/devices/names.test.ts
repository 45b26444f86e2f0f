import { describe, expect, test } from 'vitest';
import { siteFrom } from '../../tests/support/site.ts';
import { symbolOf } from '../chord/format.ts';
import type { Chord } from '../chord/model.ts';
import { understand } from '../proposals/understand.ts';
import { readTune } from '../tune/read.ts';
import { DEVICES } from './index.ts';

/**
 * The right name for what stands there, where two devices write like chords. Names by the definitions in
 * tests/reference/devices.json (backdoor-ii-v, side-step, tritone-substitution-with-ii, related-ii-v,
 * minor-four, modal-interchange); the chromatic two-five is common practice, no source.
 */

/** Every chord with the device it is called: `Ebm7 backdoor`. */
function called(key: string, bars: string): string {
  const { tune } = readTune(`key: ${key}\nmeter: 4/4\n\n[A]\n${bars}\n`);
  const understood = tune === null ? null : understand(tune);
  if (understood === null || !understood.ok) throw new Error('the tune could not be read');
  return understood.value.chords
    .flatMap(({ harmony, device }) => (device === null ? [] : [`${symbolOf(harmony)} ${device}`]))
    .join(', ');
}

describe('what is written is called by its right name', () => {
  test.each([
    // Four minor and flat seven, wherever they go on to from there.
    ['Bb major', '| Bbmaj7 | Ebm7 Ab7 | Bbmaj7 | F7 |', 'Ebm7 backdoor, Ab7 backdoor'],
    ['Bb major', '| Bbmaj7 | Ebm7 Ab7 | Cm7 | F7 |', 'Ebm7 backdoor, Ab7 backdoor'],
    [
      'Bb major',
      '| Ebm7 Ab7 | Ebm7 Ab7 | Bbmaj7 | Bbmaj7 |',
      'Ebm7 backdoor, Ab7 backdoor, Ebm7 backdoor, Ab7 backdoor',
    ],
    ['C major', '| Cmaj7 | Fm6 Bb7 | Cmaj7 | Dm7 G7 |', 'Fm6 backdoor, Bb7 backdoor'],
    [
      'C major',
      '| Fmaj7 | Fm7 Bb7 | Em7 A7 | Dm7 G7 |',
      'Fm7 backdoor, Bb7 backdoor, A7 lead-in-dominant',
    ],
    // The same pair is the two-five of flat three when it goes there, and four minor alone when it is alone.
    [
      'C major',
      '| Cmaj7 | Fm7 Bb7 | Ebmaj7 | Dm7 G7 |',
      'Fm7 related-two-five, Bb7 lead-in-dominant, Ebmaj7 modal-interchange',
    ],
    ['C major', '| Cmaj7 | Fm7 | Cmaj7 | Dm7 G7 |', 'Fm7 minor-four'],
    // From a tritone away, or from a semitone off.
    [
      'E major',
      '| Emaj7 | Emaj7 | Cm7 F7 | Emaj7 |',
      'Cm7 tritone-substitute, F7 tritone-substitute',
    ],
    ['E major', '| Emaj7 | Fm7 Bb7 | Emaj7 | Emaj7 |', 'Fm7 side-step, Bb7 side-step'],
    ['C major', '| Cmaj7 | Ebm7 Ab7 | Cmaj7 | Cmaj7 |', 'Ebm7 side-step, Ab7 side-step'],
    ['D minor', '| Dm7 | Dm7 | Ebm7 Ab7 | Dm7 |', 'Ebm7 side-step, Ab7 side-step'],
    ['C major', '| Cmaj7 | Ebm7 Ab7 | Dm7 | G7 |', 'Ebm7 parallel-motion, Ab7 parallel-motion'],
    // Flat two: a dominant that falls is the substitute; a major seventh there and back is a side-step.
    ['C major', '| Dm7 | Db7 | Cmaj7 | Cmaj7 |', 'Db7 tritone-substitute'],
    ['C major', '| Cmaj7 | Db7 | Cmaj7 | Cmaj7 |', 'Db7 tritone-substitute'],
    ['C major', '| Cmaj7 | Dbmaj7 | Cmaj7 | G7 |', 'Dbmaj7 side-step'],
    ['C major', '| Fmaj7 | Dbmaj7 | Cmaj7 | G7 |', 'Dbmaj7 modal-interchange'],
    // Flat six: it falls to five, or it stands for the dark side of home.
    ['C major', '| Cmaj7 | Ab7 | G7 | Cmaj7 |', 'Ab7 dominant-chain'],
    ['C major', '| Cmaj7 | Ab7 | Cmaj7 | Cmaj7 |', 'Ab7 modal-interchange'],
    // The two-five of what comes, and what comes itself, early.
    ['C major', '| Cmaj7 | Em7 A7 | Dm7 | G7 |', 'Em7 related-two-five, A7 lead-in-dominant'],
    ['C major', '| Dm7 | G7 | Cmaj7 | Cmaj7 |', ''],
  ])('in %s %s: %s', (key, bars, wanted) => {
    expect(called(key, bars)).toBe(wanted);
  });
});

/** Devices that write these chords over one held chord. */
function writers(key: string, before: string, next: string, wanted: string): string[] {
  const site = siteFrom(key, before, next);
  const text = (chords: readonly Chord[]): string => chords.map(symbolOf).join(' ');
  return DEVICES.filter((device) =>
    device.propose(site).some(({ changes, degree }) => {
      const chords = changes.flatMap(({ harmony }) => (harmony.kind === 'chord' ? [harmony] : []));
      return degree !== 'note' && text(chords) === wanted;
    }),
  ).map(({ name }) => name);
}

describe('what is proposed is called by its right name', () => {
  test.each([
    ['Bb major', '| Ebm7 | Ebm7 |', 'Bbmaj7', 'Ebm7 Ab7', ['backdoor']],
    ['Bb major', '| Ab7 | Ab7 |', 'Bbmaj7', 'Ebm7 Ab7', ['backdoor']],
    ['C major', '| Db7 | Db7 |', 'Cmaj7', 'Abm7 Db7', ['tritone-substitute']],
    ['C major', '| G7 | G7 |', 'Cmaj7', 'Dm7 G7', ['two-five-split']],
    ['F major', '| Cm7 | Cm7 |', 'Fm7', 'Cm7 F7', []],
    ['F major', '| Cm7 | Cm7 |', 'F7', 'Cm7 F7', ['early-arrival', 'two-five-split']],
    ['C major', '| Cmaj7 | Cmaj7 |', 'Ebmaj7', 'Cmaj7 Fm7 Bb7', ['related-two-five']],
    ['C major', '| Cmaj7 | Cmaj7 |', 'Cmaj7', 'Cmaj7 Fm7 Bb7', ['backdoor']],
    ['C major', '| Cmaj7 | Cmaj7 |', 'Cmaj7', 'Cmaj7 Abm7 Db7', ['tritone-substitute']],
    ['C major', '| Cmaj7 | Cmaj7 |', 'Dm7', 'Cmaj7 Dm7', ['early-arrival']],
  ])('in %s %s before %s, %s', (key, before, next, wanted, names) => {
    expect(writers(key, before, next, wanted)).toEqual(names);
  });
});
