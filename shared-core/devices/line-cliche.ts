import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import {
  chordAt,
  nextIndex,
  previousIndex,
  recognition,
  runEnd,
  runStart,
  wrap,
} from './circle.ts';
import { homeNext, standingOf } from './home.ts';
import { spread, tailLayouts } from './layouts.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { chordIn, note, semitonesUp, UP } from './sound.ts';
import { along, isStretch, Rewrites } from './write.ts';

const NAME = 'line-cliche';

/** One voice that moves while the chord stays: the qualities in order, and the moving note above the root. */
interface Line {
  readonly id: string;
  readonly suffixes: readonly string[];
  readonly notes: readonly Spelled[];
  readonly words: string;
}

const FALLING_MINOR: Line = {
  id: 'falling',
  suffixes: ['m', 'mMaj7', 'm7', 'm6'],
  notes: [0, UP.seven, UP.flatSeven, UP.six],
  words: 'One voice slides down from the root while the chord stays',
};
const RISING_MINOR: Line = {
  id: 'rising',
  suffixes: ['m', 'm#5', 'm6', 'm#5'],
  notes: [UP.five, UP.sharpFive, UP.six, UP.sharpFive],
  words: 'The fifth climbs by semitones and comes back while the chord stays',
};
const FALLING_MAJOR: Line = {
  id: 'falling',
  suffixes: ['', 'maj7', '7', '6'],
  notes: [0, UP.seven, UP.flatSeven, UP.six],
  words: 'One voice slides down from the root while the chord stays',
};
const RISING_MAJOR: Line = {
  id: 'rising',
  suffixes: ['', 'aug', '6', '7'],
  notes: [UP.five, UP.sharpFive, UP.six, UP.flatSeven],
  words: 'The fifth climbs by semitones and wants to go on to the four',
};
const ROUND_MAJOR: Line = {
  id: 'round',
  suffixes: ['', 'aug', '6', 'aug'],
  notes: [UP.five, UP.sharpFive, UP.six, UP.sharpFive],
  words: 'The fifth climbs by semitones and comes back while the chord stays',
};
const LINES: readonly Line[] = [
  FALLING_MINOR,
  RISING_MINOR,
  FALLING_MAJOR,
  RISING_MAJOR,
  ROUND_MAJOR,
];

/** Lines for the held chord: in minor on any degree, in major on home and four. */
function linesFor(site: Site): readonly Line[] {
  if (isStretch(site)) return [];
  const { family } = site.held.quality;
  if (family === 'minor') return [FALLING_MINOR, RISING_MINOR];
  if (family !== 'major' || standingOf(site) !== 'major') return [];
  const four = site.next !== null && semitonesUp(site.held.root, site.next.root) === 5;
  const lines: Line[] = [];
  if (four) lines.push(RISING_MAJOR, FALLING_MAJOR);
  else if (homeNext(site)) lines.push(ROUND_MAJOR, FALLING_MAJOR);
  else lines.push(ROUND_MAJOR);
  return lines;
}

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  for (const line of linesFor(site)) {
    const whole = spread(site, line.suffixes.length);
    if (whole !== null) state(site, rewrites, line, whole);
    const end = tailLayouts(site, line.suffixes.length).at(0);
    if (end !== undefined && end.at[0] !== 0) state(site, rewrites, line, end);
  }
  return rewrites.all;
}

/** The line as chords for the band, and as one moving note for the soloist. */
function state(
  site: Site,
  rewrites: Rewrites,
  line: Line,
  layout: { readonly id: string; readonly at: readonly number[] },
): void {
  const root = site.held.root;
  const chords = line.suffixes.map((suffix, i) => opening(site, suffix, i, layout.at[0] ?? 0));
  const notes = line.notes.map((up) => note(root + up)).join(' ');
  const told = {
    tells: root + (line.notes[1] ?? 0),
    home: root + (line.notes.at(-1) ?? 0),
    cells: along(layout, chords),
  };
  const place = (layout.at[0] ?? 0) === 0 ? 'whole' : 'end';
  const reason = `${line.words}: ${notes}.`;
  rewrites.add({
    ...told,
    degree: 'note',
    variant: `${line.id}-note@${place}-${layout.id}`,
    carrier: 'soloist',
    reason: `Play only the line over the held chord: ${notes}.`,
  });
  rewrites.add({
    ...told,
    degree: line.id === 'falling' ? 'seventh' : 'triad',
    variant: `${line.id}@${place}-${layout.id}`,
    carrier: 'either',
    reason,
  });
}

/** The first chord is the held one where the written chord must stand, else the plain triad the line starts from. */
function opening(site: Site, suffix: string, i: number, at: number): Chord {
  const held = i === 0 && site.keep.includes(at);
  return held ? site.held : chordIn(site, site.held.root, suffix);
}

/** Where a chord stands on a line: the semitone of its moving voice, or null. */
function voice(line: Line, chord: Chord): number | null {
  const i = line.suffixes.indexOf(chord.quality.suffix);
  const up = line.notes[i];
  return i < 0 || up === undefined ? null : (semitonesUp(0, up) + 11) % 12;
}

/** The longest run of one root around `index` whose voice moves by semitones one way along a line; three chords or more. */
function runOf(
  chords: readonly ChordReading[],
  index: number,
): { readonly first: number; readonly last: number } | null {
  for (const line of LINES) {
    const run = runAlong(chords, index, line);
    if (run !== null) return run;
  }
  return null;
}

function runAlong(
  chords: readonly ChordReading[],
  index: number,
  line: Line,
): { readonly first: number; readonly last: number } | null {
  const steps = (from: number, to: number | null): boolean => {
    const a = chordAt(chords, from);
    const b = to === null ? null : chordAt(chords, to);
    if (a === null || b === null || semitonesUp(a.root, b.root) !== 0) return false;
    const va = voice(line, a);
    const vb = voice(line, b);
    return va !== null && vb !== null && Math.abs(va - vb) === 1;
  };
  let first = wrap(chords, index);
  let count = 1;
  for (let at = previousIndex(chords, first); at !== null && count < 8; count += 1) {
    if (!steps(at, first)) break;
    first = at;
    at = previousIndex(chords, first);
  }
  let last = wrap(chords, index);
  for (let at = nextIndex(chords, last); at !== null && count < 8; count += 1) {
    if (!steps(last, at)) break;
    last = at;
    at = nextIndex(chords, last);
  }
  return count >= 3 ? { first: runStart(chords, first), last: runEnd(chords, last) } : null;
}

function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const run = runOf(chords, index);
  if (run === null || run.first === runStart(chords, index)) return null;
  return recognition(NAME, index, null, null, 'line', 0.2);
}

/** One voice moves by semitones inside a chord that stays. */
export const lineCliche: Device = {
  name: NAME,
  label: 'Line cliché',
  definition:
    'While the triad stays, one voice moves by semitones: falling from the root (root, major seventh, minor seventh, sixth), or rising from the fifth (five, sharp five, six and, in major on the way to the four, flat seven). A soloist may play the line alone.',
  source:
    'R. Scott, Minor Line Cliches; Lesson 7, Cliches (bossanovagitaar.nl); The minor and the major line cliche (hubguitar.com).',
  usual: { 'minor-home': 0.95, minor: 0.9, elsewhere: 0.55 },
  propose,
  recognise,
  examples: [
    {
      key: 'A minor',
      before: '| Am | Am | Am | Am |',
      after: '| Am | AmMaj7 | Am7 | Am6 |',
      source: 'R. Scott, Minor Line Cliches',
    },
    {
      key: 'F# minor',
      before: '| F#m | F#m |',
      after: '| F#m F#mMaj7 | F#m7 F#m6 |',
      source: 'R. Scott, Minor Line Cliches',
    },
    {
      key: 'Bb major',
      before: '| Bb | Bb | Bb | Bb |',
      after: '| Bb | Bb+ | Bb6 | Bb7 |',
      next: 'Ebmaj7',
      source: 'The minor and the major line cliche (hubguitar.com)',
    },
    {
      key: 'F major',
      before: '| F | F | F | F |',
      after: '| F | Fmaj7 | F7 | F6 |',
      next: 'Bbmaj7',
      source: 'The minor and the major line cliche (hubguitar.com)',
    },
  ],
};
