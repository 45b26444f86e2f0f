import { describe, expect, test } from 'vitest';
import {
  changesOf,
  keyNamed,
  meterNamed,
  siteFrom,
  siteOfChanges,
} from '../../tests/support/site.ts';
import type { Chord } from '../chord/model.ts';
import { type Key, keyName } from '../pitch/key.ts';
import { alterOf, chromaOf, nameOf, parseSpelled, type Spelled } from '../pitch/spelled.ts';
import { barTicks } from '../time/meter.ts';
import { DEVICES, deviceByName } from './index.ts';
import type { Rewrite, Site } from './model.ts';
import { chordIn, semitonesUp, symbol, UP } from './sound.ts';
import { rowIn } from './spelling.ts';

/**
 * How rows of chords are spelled: what moves by a fifth is written as one, all on one side of the goal.
 * Common practice, no source, but where a row names one.
 */

const METER = meterNamed('4/4');

const words = (chords: readonly Chord[]): string => chords.map(symbol).join(' ');

const row = (key: string, steps: string, goal: string | null = null): string => {
  const read = steps.split(' ').map((step) => {
    const [name = '', suffix = ''] = step.split(':');
    const root = parseSpelled(name);
    if (root === null) throw new Error(`${name} is no root`);
    return [root, suffix] as const;
  });
  return words(rowIn(keyNamed(key), read, goal === null ? null : chord(goal)));
};

const chord = (text: string): Chord => {
  const [change] = changesOf(`| ${text} |`, METER);
  if (change === undefined || change.harmony.kind === 'none')
    throw new Error(`${text} is no chord`);
  return change.harmony;
};

describe('a row of chords', () => {
  test.each([
    ['B major', 'E#:m7b5 A#:7', 'D#m7', 'E#m7b5 A#7'],
    ['E major', 'E#:m7b5 A#:7', 'D#m7', 'E#m7b5 A#7'],
    ['F# minor', 'E#:7 A#:7 D#:7', 'G#m7b5', 'E#7 A#7 D#7'],
    ['Db major', 'Gb:m7 Cb:7', null, 'Gbm7 Cb7'],
    ['Bb major', 'Gb:m7 Cb:7', null, 'F#m7 B7'],
    ['G major', 'D:7 C#:7 C:7', null, 'D7 Db7 C7'],
    ['F major', 'D#:7 D:7 C#:7 C:7', null, 'Eb7 D7 Db7 C7'],
    ['E major', 'D#:7 D:7 C#:7 C:7', null, 'D#7 D7 C#7 C7'],
    ['Ab major', 'Fb:m7 Bbb:7', null, 'Em7 A7'],
    ['Eb major', 'Gb:7 Cb:maj7', null, 'F#7 Bmaj7'],
    ['Eb major', 'Gb:7 Cb:7 Fb:7', null, 'F#7 B7 E7'],
    // Published turnaround in B flat: tests/reference/devices.json, turnarounds.
    ['Bb major', 'Db:7 Gb:7 Cb:7', null, 'Db7 Gb7 B7'],
    ['Bb major', 'Db:maj7 Gb:maj7 Cb:maj7', null, 'Dbmaj7 Gbmaj7 Bmaj7'],
    ['F# minor', 'C#:7', 'F#m7', 'C#7'],
    ['C major', 'Bb:7', null, 'Bb7'],
    ['A minor', 'E:7', 'Am7', 'E7'],
  ])('in %s %s before %s is printed %s', (key, steps, goal, printed) => {
    expect(row(key, steps, goal)).toBe(printed);
  });

  test('a chord that stands keeps its name, and the row goes by it', () => {
    const held = chord('Abmaj7');
    expect(words(rowIn(keyNamed('C major'), [held, [-5, '7']]))).toBe('Abmaj7 Db7');
  });
});

/** The chords a device writes on bars of one chord. */
const written = (
  device: string,
  key: string,
  before: string,
  next: string,
  variant: RegExp,
): string[] =>
  deviceByName(device as Parameters<typeof deviceByName>[0])
    .propose(siteFrom(key, before, next))
    .filter((rewrite) => variant.test(rewrite.variant))
    .map(printed);

const chordsOf = ({ changes }: Rewrite): Chord[] =>
  changes.flatMap(({ harmony }) => (harmony.kind === 'chord' ? [harmony] : []));

const printed = (rewrite: Rewrite): string => words(chordsOf(rewrite));

describe('devices in the far keys', () => {
  test('the two-five of three in B is E#m7b5 A#7, and its triads have the same roots', () => {
    const found = written('related-two-five', 'B major', '| Bmaj7 | Bmaj7 |', 'D#m7', /@b2$/u);
    expect(found).toContain('Bmaj7 E#m7b5 A#7');
    expect(found).toContain('Bmaj7 E#dim A#');
  });

  test('minor four and backdoor of D flat stand on one root', () => {
    const four = written(
      'minor-four',
      'Db major',
      '| Dbmaj7 | Dbmaj7 |',
      'Dbmaj7',
      /^iv-m6@b1\.3/u,
    );
    const back = written(
      'backdoor',
      'Db major',
      '| Dbmaj7 | Dbmaj7 |',
      'Dbmaj7',
      /iv-bVII7@b1\.3/u,
    );
    expect([...four, ...back]).toEqual(['Dbmaj7 Gbm6 Dbmaj7', 'Dbmaj7 Gbm7 Cb7 Dbmaj7']);
  });

  test('a chain of dominants in F sharp minor falls by written fifths', () => {
    const found = written(
      'dominant-chain',
      'F# minor',
      '| Amaj7 | Amaj7 |',
      'G#m7b5',
      /^3@halves/u,
    );
    expect(found).toEqual(['Amaj7 E#7 A#7 D#7']);
  });

  test.each([
    ['Eb major', 'Ebmaj7 F#7 Bmaj7 D7 Gmaj7 Bb7 Ebmaj7'],
    ['B major', 'Bmaj7 D7 Gmaj7 Bb7 Ebmaj7 F#7 Bmaj7'],
    ['F# major', 'F#maj7 A7 Dmaj7 F7 Bbmaj7 C#7 F#maj7'],
    ['Db major', 'Dbmaj7 E7 Amaj7 C7 Fmaj7 Ab7 Dbmaj7'],
    ['E major', 'Emaj7 G7 Cmaj7 Eb7 Abmaj7 B7 Emaj7'],
  ])('the cycle of major thirds in %s sets every dominant a fifth above its home', (key, bars) => {
    const home = words([chordIn(keyNamed(key), keyNamed(key).tonic, 'maj7')]);
    const four = `| ${home} | ${home} | ${home} | ${home} |`;
    const found = written('major-thirds-cycle', key, four, home, /^with-dominants/u);
    expect(found).toEqual([bars]);
  });

  test('a page that writes F# in D flat keeps it', () => {
    const key = keyNamed('Db major');
    const page = changesOf('| Dbmaj7 | Dbmaj7 | F#m7 | B7 |', METER);
    const { analysis } = siteOfChanges(key, page, chord('Dbmaj7'), METER);
    const site = { ...siteFrom('Db major', '| Dbmaj7 | Dbmaj7 |', 'Dbmaj7'), analysis };
    const back = deviceByName('backdoor').propose(site);
    expect(back.map(printed)).toContain('Dbmaj7 F#m7 B7 Dbmaj7');
    const four = deviceByName('minor-four').propose(site);
    expect(four.map(printed)).toContain('Dbmaj7 F#m6 Dbmaj7');
  });

  test('a chord that slides in from above is written a letter higher', () => {
    const found = written('parallel-motion', 'F major', '| Am7 | Am7 |', 'Gm7', /above/u);
    expect(found).toEqual(['Am7 Abm7']);
  });
});

const MAJOR = 'C G D A E B F# C# F Bb Eb Ab Db Gb Cb'.split(' ');
const MINOR = 'A E B F# C# G# D# D G C F Bb Eb'.split(' ');
const KEYS: readonly Key[] = [
  ...MAJOR.map((tonic) => keyNamed(`${tonic} major`)),
  ...MINOR.map((tonic) => keyNamed(`${tonic} minor`)),
];

type Scene = readonly [heldUp: Spelled, held: string, nextUp: Spelled, next: string];
const SCENES: Readonly<Record<Key['mode'], readonly Scene[]>> = {
  major: [
    [0, 'maj7', 0, 'maj7'],
    [0, 'maj7', UP.four, 'maj7'],
    [0, 'maj7', UP.two, 'm7'],
    [0, 'maj7', UP.three, 'm7'],
    [0, '6', UP.six, 'm7'],
    [0, '7', UP.four, '7'],
    [UP.five, '7', 0, 'maj7'],
    [UP.two, 'm7', UP.five, '7'],
    [UP.four, 'maj7', 0, 'maj7'],
    [UP.six, 'm7', UP.two, 'm7'],
  ],
  minor: [
    [0, 'm7', 0, 'm7'],
    [0, 'm', UP.four, 'm7'],
    [0, 'm6', UP.flatSix, 'maj7'],
    [UP.five, '7', 0, 'm7'],
    [UP.two, 'm7b5', UP.five, '7'],
    [UP.flatThree, 'maj7', UP.two, 'm7b5'],
  ],
};

function sitesIn(key: Key): Site[] {
  return SCENES[key.mode].flatMap(([heldUp, held, nextUp, next]) =>
    [1, 2, 4].map((bars) => {
      const harmony = chordIn(key, key.tonic + heldUp, held);
      const change = { at: 0, length: bars * barTicks(METER), harmony };
      return siteOfChanges(key, [change], chordIn(key, key.tonic + nextUp, next), METER);
    }),
  );
}

const isWhite = (pc: Spelled): boolean => pc <= -7 || pc >= 11;

/**
 * Why two roots a fifth apart in sound may stand otherwise on paper: either of the two written as a fifth
 * from the other would be Cb, Fb, E#, B# or a double accidental. Null when there is no such reason.
 */
function breakReason(from: Chord, to: Chord): string | null {
  if (isWhite(to.root + 1) || isWhite(from.root - 1)) return 'spares Cb, Fb, E# or B#';
  const home = to.quality.family === 'major' && to.quality.degrees.length > 3;
  return home && ['G#', 'D#', 'A#'].includes(nameOf(from.root - 1)) ? 'no home is G#' : null;
}

/** Fifths of one rewrite that are not written as fifths, without reason. */
function brokenFifths(site: Site, rewrite: Rewrite): string[] {
  const chords = site.next === null ? chordsOf(rewrite) : [...chordsOf(rewrite), site.next];
  return chords.flatMap((from, i) => {
    const to = chords[i + 1];
    if (to === undefined || semitonesUp(from.root, to.root) !== 5) return [];
    if (from.root - to.root === 1 || breakReason(from, to) !== null) return [];
    return [
      `${symbol(from)} ${symbol(to)} in ${keyName(site.key)} ${rewrite.device}: ${words(chords)}`,
    ];
  });
}

/** Two-fives that stand on two sides. The one reason: the two would be F double sharp, as in C sharp major before E#m7. */
function brokenTwoFives(site: Site, rewrite: Rewrite): string[] {
  const chords = chordsOf(rewrite);
  return chords.flatMap((two, i) => {
    const five = chords[i + 1];
    const minor = two.quality.family === 'minor' || two.quality.family === 'half-diminished';
    if (!minor || two === site.held || five?.quality.family !== 'dominant') return [];
    if (semitonesUp(two.root, five.root) !== 5 || two.root - five.root === 1) return [];
    if (Math.abs(alterOf(five.root + 1)) > 1) return [];
    return [`${words(chords)} in ${keyName(site.key)} ${rewrite.device}`];
  });
}

/**
 * One sound under two names in one proposal. Reasons: nobody's home is G#, D# or A#, so a full major chord
 * a semitone or a third off is Abmaj7 beside G#m7; beyond six flats nobody reads Fb, so that Cb (or Fb) of the page
 * meets Bm7 E7 (or Em7 A7).
 */
function twoNames(site: Site, rewrite: Rewrite): string[] {
  const chords = site.next === null ? chordsOf(rewrite) : [...chordsOf(rewrite), site.next];
  const names = new Map<number, Spelled>();
  return chords.flatMap((one) => {
    const before = names.get(chromaOf(one.root));
    names.set(chromaOf(one.root), one.root);
    if (before === undefined || before === one.root) return [];
    const low = Math.min(before, one.root);
    const shape = ['side-step', 'major-thirds-cycle'].includes(rewrite.device) && low >= -5;
    const beyond = low <= -7 && site.key.tonic - (site.key.mode === 'minor' ? 3 : 0) <= -6;
    return shape || beyond ? [] : [`${words(chords)} in ${keyName(site.key)} ${rewrite.device}`];
  });
}

describe.each(KEYS.map((key) => ({ key, name: keyName(key) })))(
  'all devices in $name',
  ({ key }) => {
    const all = sitesIn(key).flatMap((site) =>
      DEVICES.flatMap((device) => device.propose(site).map((rewrite) => ({ site, rewrite }))),
    );

    test('write what moves by a fifth as a fifth', () => {
      expect(all.length).toBeGreaterThan(500);
      expect(all.flatMap(({ site, rewrite }) => brokenFifths(site, rewrite)).slice(0, 9)).toEqual(
        [],
      );
    });

    test('keep two and five on one side', () => {
      expect(all.flatMap(({ site, rewrite }) => brokenTwoFives(site, rewrite)).slice(0, 9)).toEqual(
        [],
      );
    });

    test('name one sound by one name', () => {
      expect(all.flatMap(({ site, rewrite }) => twoNames(site, rewrite)).slice(0, 9)).toEqual([]);
    });
  },
);
