import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { around, degreeOf, recognition } from './circle.ts';
import { homeNext, isTonic, standingOf } from './home.ts';
import { tailLayouts } from './layouts.ts';
import type { Change, Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadPairs } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, toneIn, UP } from './sound.ts';
import { rowIn } from './spelling.ts';
import { along, type Cell, inSlot, isStretch, Rewrites, sharing, writtenChords } from './write.ts';

const NAME = 'modal-interchange';

/** A chord borrowed from another mode of the same tonic, and the note of it that goes home by step. */
interface Borrowed {
  readonly numeral: string;
  readonly up: Spelled;
  readonly suffix: string;
  readonly from: string;
  /** The telling note and where it goes, above home. */
  readonly tells: Spelled;
  readonly home: Spelled;
}

const B6_TO_5 = { tells: UP.flatSix, home: UP.five } as const;
const B3_TO_3 = { tells: UP.flatThree, home: UP.three } as const;

/**
 * What major borrows. The chords on four and the dominant on flat seven have files of their own
 * (`minor-four`, `blues-four`, `backdoor`). Source: handout Modal Interchange, chords of all seven modes
 * on one tonic.
 */
const TO_MAJOR: readonly Borrowed[] = [
  { numeral: 'bVImaj7', up: UP.flatSix, suffix: 'maj7', from: 'the minor', ...B6_TO_5 },
  {
    numeral: 'bIImaj7',
    up: UP.flatTwo,
    suffix: 'maj7',
    from: 'the phrygian',
    tells: UP.flatTwo,
    home: 0,
  },
  { numeral: 'bIIImaj7', up: UP.flatThree, suffix: 'maj7', from: 'the minor', ...B3_TO_3 },
  {
    numeral: 'bVIImaj7',
    up: UP.flatSeven,
    suffix: 'maj7',
    from: 'the mixolydian',
    tells: UP.flatSeven,
    home: 0,
  },
  { numeral: 'iim7b5', up: UP.two, suffix: 'm7b5', from: 'the minor', ...B6_TO_5 },
  { numeral: 'i7', up: 0, suffix: 'm7', from: 'the minor', ...B3_TO_3 },
  {
    numeral: 'v7',
    up: UP.five,
    suffix: 'm7',
    from: 'the mixolydian',
    tells: UP.flatSeven,
    home: UP.seven,
  },
  { numeral: 'bVI7', up: UP.flatSix, suffix: '7', from: 'the darker modes', ...B6_TO_5 },
  {
    numeral: '#ivm7b5',
    up: UP.sharpFour,
    suffix: 'm7b5',
    from: 'the lydian',
    tells: UP.sharpFour,
    home: UP.five,
  },
];

/** What minor borrows: the phrygian flat two, and the dorian two. Common practice, no source. */
const TO_MINOR: readonly Borrowed[] = [
  {
    numeral: 'bIImaj7',
    up: UP.flatTwo,
    suffix: 'maj7',
    from: 'the phrygian',
    tells: UP.flatTwo,
    home: 0,
  },
  { numeral: 'ii7', up: UP.two, suffix: 'm7', from: 'the dorian', tells: UP.six, home: UP.five },
  { numeral: 'bVImaj7', up: UP.flatSix, suffix: 'maj7', from: 'its own scale', ...B6_TO_5 },
];

/** Borrowed chords that also stand as plain triads. */
const TRIADS = new Set(['bVImaj7', 'bIIImaj7', 'bVIImaj7']);

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  if (isStretch(site)) {
    proposeOnTwoFive(site, rewrites);
    return rewrites.all;
  }
  const standing = standingOf(site);
  if (standing === 'major') {
    proposeSingles(site, rewrites, TO_MAJOR);
    if (homeNext(site)) proposeRow(site, rewrites);
  } else if (standing === 'minor-home' && isTonic(site)) {
    proposeSingles(site, rewrites, TO_MINOR);
  }
  return rewrites.all;
}

/** One borrowed chord inside the span and home again. */
function proposeSingles(site: Site, rewrites: Rewrites, table: readonly Borrowed[]): void {
  const slot = awaySlots(site, homeNext(site))[0];
  if (slot === undefined) return;
  const root = site.held.root;
  for (const borrowed of table) {
    const tells = root + borrowed.tells;
    const home = root + borrowed.home;
    const moves = (chord: Chord): string =>
      `${note(toneIn(chord, tells))} goes to ${note(home)} on the way home`;
    if (TRIADS.has(borrowed.numeral)) {
      const triad = chordIn(site, root + borrowed.up, '');
      rewrites.add({
        degree: 'triad',
        variant: `${borrowed.numeral}-triad@${slot.id}`,
        carrier: 'either',
        tells,
        home,
        cells: inSlot(slot, triad),
        reason: `${symbol(triad)} borrowed from ${borrowed.from}, the plain triad: ${moves(triad)}.`,
      });
    }
    const chord = chordIn(site, root + borrowed.up, borrowed.suffix);
    rewrites.add({
      degree: 'seventh',
      variant: `${borrowed.numeral}@${slot.id}`,
      carrier: 'either',
      tells,
      home,
      cells: inSlot(slot, chord),
      reason: `${symbol(chord)} borrowed from ${borrowed.from}: ${moves(chord)}.`,
    });
  }
}

/** Before home comes round again: flat six and flat two, in four bars with flat three before them. */
function proposeRow(site: Site, rewrites: Rewrites): void {
  const root = site.held.root;
  const [three, six, two] = rowIn(
    site,
    [UP.flatThree, UP.flatSix, UP.flatTwo].map((up) => [root + up, 'maj7']),
  );
  if (three === undefined || six === undefined || two === undefined) return;
  const told = { tells: root + UP.flatTwo, home: root };
  for (const slot of leadPairs(site)) {
    rewrites.add({
      ...told,
      degree: 'full',
      variant: `bVI-bII@${slot.id}`,
      carrier: 'either',
      cells: sharing(slot, six, two),
      reason: `Borrowed majors walk home, ${symbol(six)} ${symbol(two)}: ${note(two.root)} falls a semitone to ${note(root)}.`,
    });
  }
  for (const layout of tailLayouts(site, 3)
    .filter((l) => (l.at[0] ?? 0) > 0)
    .slice(-1)) {
    rewrites.add({
      ...told,
      degree: 'full',
      variant: `bIII-bVI-bII@${layout.id}`,
      carrier: 'either',
      cells: along(layout, [three, six, two]),
      reason: `Borrowed majors falling by fifths, ${[three, six, two].map(symbol).join(' ')}: ${note(two.root)} falls a semitone to ${note(root)}.`,
    });
  }
}

/** Over a written two-five into major: both take the flat six of the parallel minor. */
function proposeOnTwoFive(site: Site, rewrites: Rewrites): void {
  const chords = writtenChords(site);
  const [two, five] = chords ?? [];
  const { next } = site;
  if (two === undefined || five === undefined || chords?.length !== 2 || next === null) return;
  if (two.quality.family !== 'minor' || five.quality.family !== 'dominant') return;
  if (semitonesUp(two.root, five.root) !== 5 || semitonesUp(five.root, next.root) !== 5) return;
  if (next.quality.family !== 'major') return;
  const darkTwo = chordIn(site, two.root, 'm7b5');
  const flatSix = next.root + UP.flatSix;
  const told = { tells: flatSix, home: next.root + UP.five };
  rewrites.add({
    ...told,
    degree: 'seventh',
    variant: 'minor-two',
    carrier: 'either',
    cells: inPlace(site, [darkTwo, five]),
    reason: `The two darkens to minor's own: its ${note(flatSix)} wants down to ${note(told.home)}, the fifth of ${symbol(next)}.`,
  });
  rewrites.add({
    ...told,
    degree: 'full',
    variant: 'minor-two-five',
    carrier: 'either',
    cells: inPlace(site, [darkTwo, chordIn(site, five.root, '7b9')]),
    reason: `The two-five darkens to minor's own: ${note(flatSix)} hangs over both chords and falls to ${note(told.home)}, the fifth of ${symbol(next)}.`,
  });
}

/** Other chords where the written ones stand. */
function inPlace(site: Site, chords: readonly Chord[]): readonly Cell[] {
  return site.written.map((change, i) => ({
    at: change.at,
    end: change.at + change.length,
    harmony: chords[i] ?? change.harmony,
  }));
}

/** Borrowed chords by degree in semitones and family, in a major key. */
const BY_PLACE = new Map<string, Borrowed>(
  TO_MAJOR.map((b) => [`${semitonesUp(0, b.up)}${familyOf(b.suffix)}`, b]),
);

function familyOf(suffix: string): string {
  if (suffix === 'maj7') return 'major';
  if (suffix === 'm7') return 'minor';
  return suffix === '7' ? 'dominant' : 'half-diminished';
}

/** A chord of another mode over the local major tonic. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.reading.localKey.mode !== 'major') return null;
  const degree = degreeOf(seen.reading, seen.here);
  const { family } = seen.here.quality;
  const borrowed = BY_PLACE.get(`${degree}${family}`);
  if (borrowed === undefined) return null;
  const home = degreeOf(seen.reading, seen.next) === 0 && seen.next.quality.family === 'major';
  const fifth = semitonesUp(seen.here.root, seen.next.root) === 5;
  const cost = home ? 0.5 : fifth ? 0.8 : 1;
  return recognition(NAME, index, fifth ? seen.nextAt : null, borrowed.numeral, 'departure', cost);
}

/** A dark two-five with its plain minor seventh and dominant back. */
function plainer(window: readonly Change[], key: Key): readonly (readonly Change[])[] {
  const [two, five] = window;
  if (two === undefined || five === undefined || window.length !== 2) return [];
  if (two.harmony.kind === 'none' || five.harmony.kind === 'none') return [];
  const plainTwo = { ...two, harmony: chordIn(key, two.harmony.root, 'm7') };
  const plainFive = { ...five, harmony: chordIn(key, five.harmony.root, '7') };
  return [
    [plainTwo, plainFive],
    [plainTwo, five],
  ];
}

/** Chords of the other modes of the same tonic. */
export const modalInterchange: Device = {
  name: NAME,
  label: 'Borrowed chord',
  definition:
    'A chord built on the same tonic in another mode, mostly the parallel minor, stands in a stretch of home and home returns; borrowed majors on flat three, flat six and flat two also walk home in a row; a written two-five takes the half-diminished and the flat nine of minor.',
  source:
    'Handout Modal Interchange: chords of all seven modes on one tonic (scribd 251361724); Modal interchange (gtroblq); M. Lavengood, Open Music Theory, Substitutions (jazz).',
  usual: { elsewhere: 0.4 },
  propose,
  recognise,
  plainer,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 | Abmaj7 Dbmaj7 |',
      next: 'Cmaj7',
      source: 'Handout Modal Interchange',
    },
    {
      key: 'A major',
      before: '| Amaj7 | Amaj7 | Amaj7 | Amaj7 |',
      after: '| Amaj7 | Cmaj7 | Fmaj7 | Bbmaj7 |',
      next: 'Amaj7',
      source: 'Handout Modal Interchange',
    },
    {
      key: 'F major',
      before: '| Gm7 | C7 |',
      after: '| Gm7b5 | C7b9 |',
      next: 'Fmaj7',
      source: 'Open Music Theory, Substitutions (jazz): mixture before the dominant',
    },
  ],
};
