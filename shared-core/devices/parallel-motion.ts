import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { chordAt, nextIndex, recognition, runStart } from './circle.ts';
import { homeNext, isTriad, standingOf, target } from './home.ts';
import { type Layout, spread, tailLayouts } from './layouts.ts';
import type { Device, DeviceDegree, Rewrite, Site, Standing } from './model.ts';
import { rowOf, slidingTwoFive } from './parallel-rows.ts';
import { leadTails } from './slots.ts';
import { chordIn, nearRoot, note, sameSound, semitonesUp, symbol, twoFive, UP } from './sound.ts';
import { rowIn } from './spelling.ts';
import { along, inSlot, isStretch, Rewrites } from './write.ts';

const NAME = 'parallel-motion';

/** Roots of the parallel chords after home, by what home is, and whether the last needs home after the span. */
interface Path {
  readonly id: string;
  readonly ups: readonly Spelled[];
}

/** Away by thirds and fifths, back by the semitone above: the constant-structure row. */
const ROUND: Path = { id: 'b3-b6-b2', ups: [UP.flatThree, UP.flatSix, UP.flatTwo] };
/** Up a minor third and down by semitones: the row of minor and suspended vamps. */
const SLIDE_BACK: Path = { id: 'b3-2-b2', ups: [UP.flatThree, UP.two, UP.flatTwo] };

function pathFor(standing: Standing): Path | null {
  switch (standing) {
    case 'major':
      return ROUND;
    case 'minor-home':
    case 'minor':
    case 'suspended':
    case 'blues':
      return SLIDE_BACK;
    default:
      return null;
  }
}

/** Home again, or the dominant of home, where the row may let go. */
function mayLetGo(site: Site): boolean {
  const { next, held } = site;
  if (next === null || homeNext(site)) return true;
  const { family } = next.quality;
  const leans = family === 'suspended' || family === 'dominant';
  return leans && semitonesUp(held.root, next.root) === 7;
}

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  const standing = standingOf(site);
  const path = pathFor(standing);
  const layouts = layoutsOf(site);
  if (path !== null && mayLetGo(site)) {
    for (const layout of layouts) proposeRow(site, rewrites, layout, path);
  }
  if (standing === 'major' && homeNext(site)) {
    for (const layout of layouts) proposeWalk(site, rewrites, layout);
  }
  if (standing === 'major' || standing === 'minor-home') proposeHeldRow(site, rewrites);
  proposeSlides(site, rewrites);
  if (!isStretch(site)) {
    proposeFallingTwoFives(site, rewrites);
    if (standing === 'blues') proposeFallingDominants(site, rewrites);
  }
  return rewrites.all;
}

/** Four steps over the whole span, and over its end when it is longer. */
function layoutsOf(site: Site): readonly Layout[] {
  const whole = spread(site, 4);
  const layouts: Layout[] = whole === null ? [] : [whole];
  for (const end of tailLayouts(site, 4).slice(0, 1)) {
    if (end.at[0] !== 0) layouts.push(end);
  }
  return layouts;
}

function placeOf(layout: Layout): string {
  return `${layout.at[0] === 0 ? 'whole' : 'end'}-${layout.id}`;
}

function parallel(site: Site, ups: readonly Spelled[], suffix: string): readonly Chord[] {
  return rowIn(
    site,
    ups.map((up) => [site.held.root + up, suffix]),
  );
}

/** One quality on moving roots; triads for the soloist, the held quality for the band. */
function proposeRow(site: Site, rewrites: Rewrites, layout: Layout, path: Path): void {
  const { held } = site;
  const minor = held.quality.family === 'minor';
  const rows: (readonly [DeviceDegree, string])[] = [['triad', minor ? 'm' : '']];
  if (held.quality.family === 'suspended') rows[0] = ['triad', 'sus4'];
  if (!isTriad(held)) rows.push(['seventh', held.quality.suffix]);
  for (const [degree, suffix] of rows) {
    const row = parallel(site, path.ups, suffix);
    rewrites.add({
      degree,
      variant: `${path.id}-${degree}@${placeOf(layout)}`,
      carrier: degree === 'triad' ? 'soloist' : 'either',
      tells: row.at(-1)?.root ?? null,
      home: held.root,
      cells: along(layout, [held, ...row]),
      reason: `One chord shape on moving roots, ${[held.root, ...row.map((c) => c.root)].map(note).join(' ')}; the last lies a semitone above home and drops to ${note(held.root)}.`,
    });
  }
}

/** Out in parallel and home inside the span, for a span that goes on elsewhere. */
function proposeHeldRow(site: Site, rewrites: Rewrites): void {
  if (mayLetGo(site)) return;
  const layout = spread(site, 4);
  if (layout === null || layout.id !== 'bars') return;
  const { held } = site;
  const row = parallel(site, [UP.flatThree, UP.flatTwo], held.quality.suffix);
  rewrites.add({
    degree: isTriad(held) ? 'triad' : 'seventh',
    variant: `b3-b2-home@${placeOf(layout)}`,
    carrier: 'either',
    tells: row[1]?.root ?? null,
    home: held.root,
    cells: along(layout, [held, ...row, held]),
    reason: `The same shape a minor third up, then a semitone above home, then home: ${[held.root, ...row.map((c) => c.root), held.root].map(note).join(' ')}.`,
  });
}

/** The walk inside the key: home, two, three, two. */
function proposeWalk(site: Site, rewrites: Rewrites, layout: Layout): void {
  const { held } = site;
  for (const [degree, suffix] of [
    ['triad', 'm'],
    ['seventh', 'm7'],
  ] as const) {
    const row = parallel(site, [UP.two, UP.three, UP.two], suffix);
    rewrites.add({
      degree,
      variant: `walk-${degree}@${placeOf(layout)}`,
      carrier: 'either',
      tells: held.root + UP.two,
      home: held.root,
      cells: along(layout, [held, ...row]),
      reason: `Walk up the scale and back, ${[held, ...row].map(symbol).join(' ')}: everything moves by step, ${note(held.root)} ${note(held.root + UP.two)} ${note(held.root + UP.three)} and down again.`,
    });
  }
}

/** The next chord's own shape a semitone off, sliding in. */
function proposeSlides(site: Site, rewrites: Rewrites): void {
  const to = target(site);
  if (to === null || isStretch(site) || sameSound(site.held, to)) return;
  const slot = leadTails(site)[0];
  if (slot === undefined) return;
  for (const [way, up] of [
    ['below', UP.seven],
    ['above', UP.flatTwo],
  ] as const) {
    const root = way === 'above' ? to.root + up : nearRoot(site.key, to.root + up, to);
    const slide = chordIn(site, root, to.quality.suffix);
    if (sameSound(slide, site.held)) continue;
    rewrites.add({
      degree: isTriad(to) ? 'triad' : 'seventh',
      variant: `slide-from-${way}@${slot.id}`,
      carrier: 'either',
      tells: slide.root,
      home: to.root,
      cells: inSlot(slot, slide),
      reason: `Slide into ${symbol(to)} from a semitone ${way}: the whole shape moves, ${note(slide.root)} to ${note(to.root)}.`,
    });
  }
}

/** Two-fives falling by semitones in half bars, the last a semitone above the minor chord that follows. */
function proposeFallingTwoFives(site: Site, rewrites: Rewrites): void {
  const { next } = site;
  if (next === null || next.quality.family !== 'minor') return;
  const ups = [UP.flatThree, UP.two, UP.flatTwo];
  for (const count of [1, 2, 3]) {
    const layout = tailLayouts(site, 2 * count).find((found) => found.id === 'halves');
    if (layout === undefined) continue;
    const chords = ups.slice(-count).flatMap((up) => twoFive(site, next.root + up, ['m7', '7']));
    const roots = chords.filter((_, i) => i % 2 === 0).map((chord) => note(chord.root));
    rewrites.add({
      degree: 'full',
      variant: `falling-two-fives-${count}@${layout.id}`,
      carrier: 'band',
      tells: chords.at(-2)?.root ?? null,
      home: next.root,
      cells: along(layout, chords),
      reason: `Two-fives falling by semitones, ${chords.map(symbol).join(' ')}: the twos go ${roots.join(' ')} and land on ${note(next.root)}.`,
    });
  }
}

/** Seventh chords falling by semitones from home to the dominant of the two that follows. */
function proposeFallingDominants(site: Site, rewrites: Rewrites): void {
  const { held, next } = site;
  const layout = spread(site, 4);
  if (layout === null || next === null || semitonesUp(held.root, next.root) !== 2) return;
  const row = parallel(site, [UP.seven, UP.flatSeven, UP.six], '7');
  rewrites.add({
    degree: 'seventh',
    variant: `falling-sevenths@${placeOf(layout)}`,
    carrier: 'band',
    tells: row.at(-1)?.root ?? null,
    home: next.root + UP.five,
    cells: along(layout, [held, ...row]),
    reason: `Seventh chords slide down by semitones, ${[held, ...row].map(symbol).join(' ')}: the last is the dominant of ${symbol(next)}.`,
  });
}

function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const sliding = slidingTwoFive(chords, index);
  if (sliding !== null) {
    const { part, leadsTo } = sliding;
    const cost = part === 'two' ? 0.5 : leadsTo === null ? 0.4 : 0.19;
    return recognition(NAME, index, leadsTo, null, 'passing', cost);
  }
  const row = rowOf(chords, index);
  if (row === null || runStart(chords, index) === row.first) return null;
  const dominant = chordAt(chords, index)?.quality.family === 'dominant';
  return recognition(NAME, index, nextIndex(chords, index), null, 'passing', dominant ? 1.2 : 0.6);
}

/** One chord shape on moving roots. */
export const parallelMotion: Device = {
  name: NAME,
  label: 'Parallel motion',
  definition:
    'One chord quality moves over several roots: in major by way of flat three, flat six and flat two; in minor and suspended vamps up a minor third and back by semitones; inside the key as a walk up and down the scale. In its shortest form the next chord is slid into from a semitone off.',
  source:
    'Wikipedia, Constant structure, citing R. Rawlins 2005; T. Seabrook, Jazz Tip of the Month No. 22; the half-step rule of Jazzing up the blues, part 1. The walk and the minor row are common practice, no source.',
  usual: { minor: 0.5, suspended: 0.6, elsewhere: 0.3 },
  propose,
  recognise,
  examples: [
    {
      key: 'F major',
      before: '| Fmaj7 | Fmaj7 | Fmaj7 | Fmaj7 |',
      after: '| Fmaj7 | Abmaj7 | Dbmaj7 | Gbmaj7 |',
      next: 'Fmaj7',
      source: 'Wikipedia, Constant structure, citing R. Rawlins 2005',
    },
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 Ebmaj7 | Abmaj7 Dbmaj7 |',
      next: 'G13sus4',
      source: 'Wikipedia, Constant structure, citing R. Rawlins 2005',
    },
    {
      key: 'Bb major',
      before: '| Bbmaj7 | Bbmaj7 | Bbmaj7 | Bbmaj7 |',
      after: '| Bbmaj7 | Cm7 | Dm7 | Cm7 |',
      next: 'Bbmaj7',
      source: 'common practice, no source',
    },
    {
      key: 'Bb major',
      before: '| Bb7 | Bb7 |',
      after: '| Bb7 | Bb7 D7 |',
      next: 'Eb7',
      source: 'Jazzing up the blues, part 1: half-step approach',
    },
  ],
};
