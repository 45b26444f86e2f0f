import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { chordAt, degreeOf, nextIndex, recognition, runStart, wrap } from './circle.ts';
import { gridOf } from './grid.ts';
import { homeNext, isMinorish, isTonic, standingOf } from './home.ts';
import { type Layout, tailLayouts } from './layouts.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { note, semitonesUp, symbol, UP } from './sound.ts';
import { chordAs, rowIn } from './spelling.ts';
import { along, Rewrites } from './write.ts';

const NAME = 'turnaround';

/** A root above home and a suffix; an empty place for the held chord itself. */
type Step = { readonly up: Spelled; readonly suffix: string } | null;

/** Four chords before a known arrival. */
interface Pattern {
  readonly id: string;
  readonly steps: readonly Step[];
  /** Heard oftener; the others are proposed in their natural length only. */
  readonly usual: boolean;
  /** All chords lie in the key. */
  readonly plain: boolean;
}

/** Degrees against the major scale of home. */
const DEGREES: Readonly<Record<string, Spelled>> = {
  '1': 0,
  '#1': UP.sharpOne,
  b2: UP.flatTwo,
  '2': UP.two,
  b3: UP.flatThree,
  '3': UP.three,
  '4': UP.four,
  '#4': UP.sharpFour,
  '5': UP.five,
  b6: UP.flatSix,
  '6': UP.six,
  b7: UP.flatSeven,
  '7': UP.seven,
};
const IN_THE_KEY = new Set(['I', '2:m7', '3:m7', '6:m7', '5:7']);

/** Reads a row of the tables below: `I` keeps the held chord, `b6:7#11` is a root and a suffix. */
function row(id: string, chords: string, usual = false): Pattern {
  const tokens = chords.split(' ');
  const steps = tokens.map((token): Step => {
    const [degree = '', suffix = ''] = token.split(':');
    if (token === 'I') return null;
    const up = DEGREES[degree];
    if (up === undefined) throw new Error(`${token} is no degree of a turnaround`);
    return { up, suffix };
  });
  return { id, steps, usual, plain: tokens.every((token) => IN_THE_KEY.has(token)) };
}

const USUAL = true;

/**
 * Turnarounds that lead to one at the top. Sources: Jazz Chords: turnarounds (jazzguitarlessons.net);
 * T. Seabrook, Jazz Tip of the Month No. 22; J. Lyon, Turnarounds; Wikipedia, Tadd Dameron turnaround;
 * the last two are common practice.
 */
const TO_HOME: readonly Pattern[] = [
  row('I-vi-ii-V', 'I 6:m7 2:m7 5:7', USUAL),
  row('I-VI7-ii-V', 'I 6:7 2:m7 5:7', USUAL),
  row('I-VI7-II7-V7', 'I 6:7 2:7 5:7', USUAL),
  row('iii-vi-ii-V', '3:m7 6:m7 2:m7 5:7'),
  row('iii-VI7-ii-V', '3:m7 6:7 2:m7 5:7', USUAL),
  row('III7-VI7-II7-V7', '3:7 6:7 2:7 5:7'),
  row('III7-bIII7-II7-bII7', '3:7 b3:7 2:7 b2:7'),
  row('I-bIII7-bVI7-bII7', 'I b3:7 b6:7 b2:7'),
  row('I-bIIImaj7-bVImaj7-bIImaj7', 'I b3:maj7 b6:maj7 b2:maj7'),
  row('I-sharp-Idim7-ii-V', 'I #1:dim7 2:m7 5:7', USUAL),
  row('I-bIIIdim7-ii-V', 'I b3:dim7 2:m7 5:7'),
  row('I-iii-ii-V', 'I 3:m7 2:m7 5:7'),
  row('I-vi-bVI7-V', 'I 6:m7 b6:7#11 5:7'),
  row('I-bIII7-ii-bII7', 'I b3:7 2:m7 b2:7'),
  row('I-bIIImaj7-bVImaj7-bII7', 'I b3:maj7 b6:maj7 b2:7'),
];

/** Turnarounds of a minor key. Common practice, no source. */
const TO_MINOR_HOME: readonly Pattern[] = [
  row('i-vim7b5-iim7b5-V7', 'I 6:m7b5 2:m7b5 5:7', USUAL),
  row('i-bVImaj7-iim7b5-V7', 'I b6:maj7 2:m7b5 5:7', USUAL),
  row('i-bVII7-bVI7-V7', 'I b7:7 b6:7 5:7', USUAL),
  row('i-bIIImaj7-bVImaj7-bIImaj7', 'I b3:maj7 b6:maj7 b2:maj7'),
];

/**
 * Turnarounds by the chord they arrive on, in semitones above home. Sources: T. Seabrook, Jazz Tip of the
 * Month No. 22; J. Lyon, Turnarounds; the descent from the sharp four from the handout Modal Interchange.
 */
const BY_ARRIVAL: ReadonlyMap<number, readonly Pattern[]> = new Map([
  [
    2,
    [
      row('I-vi-iii-vi', 'I 6:m7 3:m7 6:m7', USUAL),
      row('I-IV7-iiim7b5-VI7', 'I 4:7 3:m7b5 6:7', USUAL),
      row('sharp-ivm7b5-iv-iii-VI7', '#4:m7b5 4:m7 3:m7 6:7', USUAL),
    ],
  ],
  [4, [row('I-vi-sharp-ivm7b5-VII7', 'I 6:m7 #4:m7b5 7:7', USUAL)]],
  [5, [row('I-II7-v-I7', 'I 2:7 5:m7 1:7', USUAL)]],
  [6, [row('I-VI7-ii-V7', 'I 6:7 2:m7 5:7', USUAL)]],
  [9, [row('I-IV7-viim7b5-III7', 'I 4:7 7:m7b5 3:7', USUAL)]],
  [11, [row('I-II7-v-I7', 'I 2:7 5:m7 1:7', USUAL)]],
]);

function patternsFor(site: Site): readonly Pattern[] {
  const standing = standingOf(site);
  if (standing === 'minor-home') return homeNext(site) && isTonic(site) ? TO_MINOR_HOME : [];
  if (standing !== 'major' && !(standing === 'blues' && isTonic(site))) return [];
  if (homeNext(site)) return TO_HOME;
  if (site.next === null) return [];
  return BY_ARRIVAL.get(semitonesUp(site.held.root, site.next.root)) ?? [];
}

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  const patterns = patternsFor(site);
  const layouts = patterns.length === 0 ? [] : layoutsOf(site);
  layouts.forEach((layout, i) => {
    for (const pattern of patterns) {
      if (i > 0 && !pattern.usual) continue;
      const degree = pattern.plain ? 'seventh' : 'full';
      state(site, rewrites, layout, pattern, degree);
      if (i === 0 && pattern.plain && pattern.usual) {
        state(site, rewrites, layout, pattern, 'triad');
      }
    }
  });
  return rewrites.all;
}

/** The natural length first: a bar a chord in four bars, half a bar a chord otherwise. */
function layoutsOf(site: Site): readonly Layout[] {
  const found = tailLayouts(site, 4);
  const natural = gridOf(site).bars >= 4 ? 'bars' : 'halves';
  const first = found.filter((layout) => layout.id === natural);
  return [...first, ...found.filter((layout) => layout.id !== natural)].slice(0, 2);
}

/** The suffix of the plain triad under a seventh chord of the key. */
const triadOf = (suffix: string): string => (suffix.startsWith('m7') ? 'm' : '');

function state(
  site: Site,
  rewrites: Rewrites,
  layout: Layout,
  pattern: Pattern,
  degree: 'triad' | 'seventh' | 'full',
): void {
  const to = site.next;
  const full = rowIn(
    site,
    pattern.steps.map((step) =>
      step === null ? site.held : [site.held.root + step.up, step.suffix],
    ),
    to,
  );
  const chords =
    degree === 'triad'
      ? full.map((of, i) =>
          pattern.steps[i] === null ? of : chordAs(of.root, triadOf(of.quality.suffix)),
        )
      : full;
  const last = chords.at(-1);
  if (last === undefined || to === null) return;
  rewrites.add({
    degree,
    variant: `${pattern.id}${degree === 'triad' ? '-triads' : ''}@${layout.id}`,
    carrier: 'either',
    ...toldBy(last, to),
    cells: along(layout, chords),
    reason: reasonFor(chords, last, to),
  });
}

/** The leading note of a dominant a fifth above, the seventh of a minor chord there, else the root itself. */
function toldBy(last: Chord, to: Chord): { tells: Spelled; home: Spelled } {
  if (semitonesUp(last.root, to.root) !== 5) return { tells: last.root, home: to.root };
  if (last.quality.family !== 'minor') return { tells: to.root + UP.seven, home: to.root };
  return { tells: to.root + UP.four, home: to.root + (isMinorish(to) ? UP.flatThree : UP.three) };
}

function reasonFor(chords: readonly Chord[], last: Chord, to: Chord): string {
  const row = chords.map(symbol).join(' ');
  const bass = chords.map((chord) => note(chord.root)).join(' ');
  const way = semitonesUp(last.root, to.root) === 11 ? 'falls a semitone to' : 'goes to';
  return `Turn it around into ${symbol(to)} with ${row}: the bass goes ${bass}, and ${note(last.root)} ${way} ${note(to.root)}.`;
}

const FAMILY: Readonly<Record<string, string>> = {
  m7: 'minor',
  '7': 'dominant',
  '7#11': 'dominant',
  maj7: 'major',
  m7b5: 'half-diminished',
  dim7: 'diminished',
};

/** The pattern whose four chords, of equal length, start at `index` and lead to the local tonic; null when none does. */
function patternAt(chords: readonly ChordReading[], index: number): Pattern | null {
  const indexes = fourFrom(chords, index);
  if (indexes === null) return null;
  const reading = chords[wrap(chords, index)];
  const arrivalAt = nextIndex(chords, indexes[3] ?? index);
  const arrival = arrivalAt === null ? null : chordAt(chords, arrivalAt);
  if (reading === undefined || arrival === null || degreeOf(reading, arrival) !== 0) return null;
  if (!indexes.every((at) => chords[at]?.length === reading.length)) return null;
  const table = reading.localKey.mode === 'minor' ? TO_MINOR_HOME : TO_HOME;
  return table.find((pattern) => fits(chords, reading, indexes, pattern)) ?? null;
}

function fourFrom(chords: readonly ChordReading[], index: number): readonly number[] | null {
  const indexes = [wrap(chords, index)];
  while (indexes.length < 4) {
    const next = nextIndex(chords, indexes.at(-1) ?? 0);
    if (next === null) return null;
    indexes.push(next);
  }
  return indexes;
}

function fits(
  chords: readonly ChordReading[],
  reading: ChordReading,
  indexes: readonly number[],
  pattern: Pattern,
): boolean {
  return pattern.steps.every((step, i) => {
    const chord = chordAt(chords, indexes[i] ?? 0);
    if (chord === null) return false;
    const degree = degreeOf(reading, chord);
    if (step === null) return degree === 0;
    return degree === semitonesUp(0, step.up) && chord.quality.family === FAMILY[step.suffix];
  });
}

/** Index of the first chord of the turnaround that the chord at `index` belongs to; null when it is in none. */
function startOf(chords: readonly ChordReading[], index: number): number | null {
  for (let back = 0, at = runStart(chords, index); back < 4; back += 1) {
    if (patternAt(chords, at) !== null) return at;
    at = runStart(chords, wrap(chords, at - 1));
  }
  return null;
}

function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const start = startOf(chords, index);
  const here = chordAt(chords, index);
  const reading = chords[wrap(chords, index)];
  if (start === null || here === null || reading === undefined) return null;
  if (degreeOf(reading, here) === 0) return null;
  const dominant = here.quality.family === 'dominant';
  const next = nextIndex(chords, index);
  const cost = goesRound(chords, start) ? 0.4 : 1.1;
  return recognition(NAME, index, next, null, dominant ? 'dominant' : 'departure', cost);
}

/** Whether four chords from `start` lead from the end of the form into its top: there a turnaround belongs. */
function goesRound(chords: readonly ChordReading[], start: number): boolean {
  let at: number | null = start;
  for (let step = 0; step < 4 && at !== null; step += 1) {
    const next: number | null = nextIndex(chords, at);
    if (next !== null && next < at) return true;
    at = next;
  }
  return false;
}

/** Four chords that bring round the chord after the stretch. */
export const turnaround: Device = {
  name: NAME,
  label: 'Turnaround',
  definition:
    'Four chords fill the end of a stretch of home and bring round what follows: home itself by one of the turnarounds of the trade, or two, three, four, six and the rest by the one that arrives there.',
  source:
    'Jazz Chords: turnarounds (jazzguitarlessons.net); T. Seabrook, Jazz Tip of the Month No. 22; J. Lyon, Turnarounds; Wikipedia, Tadd Dameron turnaround. The minor ones are common practice, no source.',
  usual: { elsewhere: 0.85 },
  propose,
  recognise,
  examples: [
    {
      key: 'Bb major',
      before: '| Bbmaj7 | Bbmaj7 |',
      after: '| Bbmaj7 G7 | Cm7 F7 |',
      next: 'Bbmaj7',
      source: 'T. Seabrook, Jazz Tip of the Month No. 22',
    },
    {
      key: 'F major',
      before: '| Fmaj7 | Fmaj7 | Fmaj7 | Fmaj7 |',
      after: '| Fmaj7 | Ab7 | Db7 | Gb7 |',
      next: 'Fmaj7',
      source: 'Wikipedia, Tadd Dameron turnaround',
    },
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 F7 | Em7b5 A7 |',
      next: 'Dm7',
      source: 'J. Lyon, Turnarounds',
    },
    {
      key: 'Eb major',
      before: '| Ebmaj7 | Ebmaj7 | Ebmaj7 | Ebmaj7 |',
      after: '| Am7b5 | Abm7 | Gm7 | C7 |',
      next: 'Fm7',
      source: 'Handout Modal Interchange: the descent from the sharp four',
    },
  ],
};
