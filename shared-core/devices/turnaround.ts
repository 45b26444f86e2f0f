import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { chordAt, degreeOf, nextIndex, recognition, runStart, wrap } from './circle.ts';
import { gridOf, type Layout, tailLayouts } from './grid.ts';
import { homeNext, isMinorish, isTonic, standingOf } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { along, Rewrites } from './write.ts';

const NAME = 'turnaround';

/** A root above home and a suffix; `home` as suffix keeps the held chord. */
type Step = readonly [Spelled, string];

/** Four chords before a known arrival. */
interface Pattern {
  readonly id: string;
  readonly steps: readonly [Step, Step, Step, Step];
  /** Heard oftener; the others are proposed in their natural length only. */
  readonly usual: boolean;
}

const HOME = 'home';
const I: Step = [0, HOME];
const step = (up: Spelled, suffix: string): Step => [up, suffix];

/**
 * Turnarounds that lead to one at the top. Sources: Jazz Chords: turnarounds (jazzguitarlessons.net);
 * T. Seabrook, Jazz Tip of the Month No. 22; J. Lyon, Turnarounds; Wikipedia, Tadd Dameron turnaround;
 * the last two are common practice.
 */
const TO_HOME: readonly Pattern[] = [
  p('I vi ii V', true, I, step(UP.six, 'm7'), step(UP.two, 'm7'), step(UP.five, '7')),
  p('I VI7 ii V', true, I, step(UP.six, '7'), step(UP.two, 'm7'), step(UP.five, '7')),
  p('I VI7 II7 V7', true, I, step(UP.six, '7'), step(UP.two, '7'), step(UP.five, '7')),
  p(
    'iii vi ii V',
    false,
    step(UP.three, 'm7'),
    step(UP.six, 'm7'),
    step(UP.two, 'm7'),
    step(UP.five, '7'),
  ),
  p(
    'iii VI7 ii V',
    true,
    step(UP.three, 'm7'),
    step(UP.six, '7'),
    step(UP.two, 'm7'),
    step(UP.five, '7'),
  ),
  p(
    'III7 VI7 II7 V7',
    false,
    step(UP.three, '7'),
    step(UP.six, '7'),
    step(UP.two, '7'),
    step(UP.five, '7'),
  ),
  p(
    'III7 bIII7 II7 bII7',
    false,
    step(UP.three, '7'),
    step(UP.flatThree, '7'),
    step(UP.two, '7'),
    step(UP.flatTwo, '7'),
  ),
  p(
    'I bIII7 bVI7 bII7',
    false,
    I,
    step(UP.flatThree, '7'),
    step(UP.flatSix, '7'),
    step(UP.flatTwo, '7'),
  ),
  p(
    'I bIIImaj7 bVImaj7 bIImaj7',
    false,
    I,
    step(UP.flatThree, 'maj7'),
    step(UP.flatSix, 'maj7'),
    step(UP.flatTwo, 'maj7'),
  ),
  p('I #Idim7 ii V', true, I, step(UP.sharpOne, 'dim7'), step(UP.two, 'm7'), step(UP.five, '7')),
  p(
    'I bIIIdim7 ii V',
    false,
    I,
    step(UP.flatThree, 'dim7'),
    step(UP.two, 'm7'),
    step(UP.five, '7'),
  ),
  p('I iii ii V', false, I, step(UP.three, 'm7'), step(UP.two, 'm7'), step(UP.five, '7')),
  p('I vi bVI7(#11) V', false, I, step(UP.six, 'm7'), step(UP.flatSix, '7#11'), step(UP.five, '7')),
  p(
    'I bIII7 ii bII7',
    false,
    I,
    step(UP.flatThree, '7'),
    step(UP.two, 'm7'),
    step(UP.flatTwo, '7'),
  ),
  p(
    'I bIIImaj7 bVImaj7 bII7',
    false,
    I,
    step(UP.flatThree, 'maj7'),
    step(UP.flatSix, 'maj7'),
    step(UP.flatTwo, '7'),
  ),
];

/** Turnarounds of a minor key. Common practice, no source. */
const TO_MINOR_HOME: readonly Pattern[] = [
  p('i vim7b5 iim7b5 V7', true, I, step(UP.six, 'm7b5'), step(UP.two, 'm7b5'), step(UP.five, '7')),
  p(
    'i bVImaj7 iim7b5 V7',
    true,
    I,
    step(UP.flatSix, 'maj7'),
    step(UP.two, 'm7b5'),
    step(UP.five, '7'),
  ),
  p('i bVII7 bVI7 V7', true, I, step(UP.flatSeven, '7'), step(UP.flatSix, '7'), step(UP.five, '7')),
  p(
    'i bIIImaj7 bVImaj7 bIImaj7',
    false,
    I,
    step(UP.flatThree, 'maj7'),
    step(UP.flatSix, 'maj7'),
    step(UP.flatTwo, 'maj7'),
  ),
];

/** Turnarounds by the chord they arrive on, in semitones above home. Source: T. Seabrook, Jazz Tip of the Month No. 22; J. Lyon, Turnarounds. */
const BY_ARRIVAL: ReadonlyMap<number, readonly Pattern[]> = new Map([
  [
    2,
    [
      p(
        'I IV7 iiim7b5 VI7',
        true,
        I,
        step(UP.four, '7'),
        step(UP.three, 'm7b5'),
        step(UP.six, '7'),
      ),
      p('I vi iii vi', true, I, step(UP.six, 'm7'), step(UP.three, 'm7'), step(UP.six, 'm7')),
      p(
        '#ivm7b5 iv iii VI7',
        true,
        step(UP.sharpFour, 'm7b5'),
        step(UP.four, 'm7'),
        step(UP.three, 'm7'),
        step(UP.six, '7'),
      ),
    ],
  ],
  [
    4,
    [
      p(
        'I vi #ivm7b5 VII7',
        true,
        I,
        step(UP.six, 'm7'),
        step(UP.sharpFour, 'm7b5'),
        step(UP.seven, '7'),
      ),
    ],
  ],
  [5, [p('I II7 v I7', true, I, step(UP.two, '7'), step(UP.five, 'm7'), step(0, '7'))]],
  [6, [p('I VI7 ii V7', true, I, step(UP.six, '7'), step(UP.two, 'm7'), step(UP.five, '7'))]],
  [
    9,
    [
      p(
        'I IV7 viim7b5 III7',
        true,
        I,
        step(UP.four, '7'),
        step(UP.seven, 'm7b5'),
        step(UP.three, '7'),
      ),
    ],
  ],
  [11, [p('I II7 v I7', true, I, step(UP.two, '7'), step(UP.five, 'm7'), step(0, '7'))]],
]);

function p(id: string, usual: boolean, ...steps: readonly [Step, Step, Step, Step]): Pattern {
  return { id, usual, steps };
}

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
      if (i === 0 || pattern.usual) state(site, rewrites, layout, pattern);
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

function state(site: Site, rewrites: Rewrites, layout: Layout, pattern: Pattern): void {
  const chords = pattern.steps.map(([up, suffix]) =>
    suffix === HOME ? site.held : chordIn(site.key, site.held.root + up, suffix),
  );
  const last = chords.at(-1);
  const to = site.next;
  if (last === undefined || to === null) return;
  const triads = chords.every((chord) => chord.quality.degrees.length <= 3);
  rewrites.add({
    degree: triads ? 'triad' : 'full',
    variant: `${pattern.id.replaceAll(' ', '-')}@${layout.id}`,
    carrier: 'either',
    ...toldBy(last, to),
    cells: along(layout, chords),
    reason: reasonFor(chords, last, to),
  });
}

/** The leading note of a dominant a fifth above, the seventh of a minor chord there, else the root itself. */
function toldBy(last: Chord, to: Chord): { tells: Spelled; home: Spelled } {
  if (semitonesUp(last.root, to.root) !== 5) return { tells: last.root, home: to.root };
  if (last.quality.family === 'dominant') return { tells: to.root + UP.seven, home: to.root };
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
  return pattern.steps.every(([up, suffix], i) => {
    const chord = chordAt(chords, indexes[i] ?? 0);
    if (chord === null || degreeOf(reading, chord) !== semitonesUp(0, up)) return false;
    return suffix === HOME || chord.quality.family === FAMILY[suffix];
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
  colour: 0.5,
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
