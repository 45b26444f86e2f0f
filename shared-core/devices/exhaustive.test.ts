import { describe, expect, test } from 'vitest';
import { keyNamed, meterNamed, siteOfChanges } from '../../tests/support/site.ts';
import type { Chord } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { chromaSetOf } from '../chord/tones.ts';
import { type Key, keyName, signatureOf } from '../pitch/key.ts';
import { alterOf, chromaOf, nameOf, type Spelled } from '../pitch/spelled.ts';
import { barTicks, beatTicks, meterName } from '../time/meter.ts';
import { weightAt } from './grid.ts';
import { homeNext } from './home.ts';
import { DEVICES } from './index.ts';
import type { Change, Device, Rewrite, Site } from './model.ts';
import { chordIn, semitonesUp, symbol, UP } from './sound.ts';

/**
 * Every device in twelve keys, major and minor, five meters and spans of one to eight bars, on home, on
 * the blues, on two, on five, suspended and half-diminished: spelled for print, filling its span exactly,
 * coming home on a strong beat, keeping section starts.
 */

const MAJOR = ['C', 'G', 'D', 'A', 'E', 'B', 'F#', 'F', 'Bb', 'Eb', 'Ab', 'Db'];
const MINOR = ['A', 'E', 'B', 'F#', 'C#', 'G#', 'D', 'G', 'C', 'F', 'Bb', 'Eb'];
const KEYS: readonly Key[] = [
  ...MAJOR.map((tonic) => keyNamed(`${tonic} major`)),
  ...MINOR.map((tonic) => keyNamed(`${tonic} minor`)),
];
const METERS = ['4/4', '3/4', '5/4', '6/8', '12/8'].map(meterNamed);

/** Held chord and next chord, above the tonic. */
type Scene = readonly [heldUp: Spelled, held: string, nextUp: Spelled, next: string];
const SCENES: Readonly<Record<Key['mode'], readonly Scene[]>> = {
  major: [
    [0, 'maj7', 0, 'maj7'],
    [0, 'maj7', UP.four, 'maj7'],
    [0, '', UP.two, 'm7'],
    [0, '6', UP.six, 'm7'],
    [0, '7', UP.four, '7'],
    [0, '7', 0, '7'],
    [UP.five, '7', 0, 'maj7'],
    [UP.five, '7sus4', 0, 'maj7'],
    [UP.two, 'm7', UP.five, '7'],
    [UP.four, 'maj7', UP.five, '13sus4'],
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

const AWAY = new Set([
  'minor-four',
  'side-step',
  'blues-four',
  'backdoor',
  'common-tone-diminished',
]);
const LEADING = new Set([
  'lead-in-dominant',
  'related-two-five',
  'tritone-substitute',
  'passing-diminished',
  'dominant-chain',
]);

function sitesIn(key: Key): Site[] {
  const sites: Site[] = [];
  for (const [scene, [heldUp, held, nextUp, next]] of SCENES[key.mode].entries()) {
    // The rarer meters divide their bars by the same grid: home, its neighbours and the blues are enough there.
    for (const meter of scene < 6 ? METERS : METERS.slice(0, 2)) {
      for (let bars = 1; bars <= 8; bars += 1) {
        const written = {
          at: 0,
          length: bars * barTicks(meter),
          harmony: chordIn(key, key.tonic + heldUp, held),
        };
        const after = chordIn(key, key.tonic + nextUp, next);
        const half = Math.floor(bars / 2) * barTicks(meter);
        sites.push(siteOfChanges(key, [written], after, meter));
        if (meter !== METERS[0]) continue;
        sites.push(siteOfChanges(key, [written], after, meter, [bars === 1 ? 0 : half]));
      }
    }
  }
  return sites;
}

function where(site: Site, rewrite: Rewrite): string {
  const bars = site.length / barTicks(site.meter);
  const changes = rewrite.changes
    .map((c) => `${c.at}:${c.harmony.kind === 'chord' ? symbol(c.harmony) : 'N.C.'}`)
    .join(' ');
  return `${rewrite.device} ${rewrite.degree} ${rewrite.variant} in ${keyName(site.key)}, ${bars} bars of ${meterName(site.meter)} on ${symbol(site.held)}: ${changes}`;
}

const chordsOf = (rewrite: Rewrite): Chord[] =>
  rewrite.changes.flatMap(({ harmony }) => (harmony.kind === 'chord' ? [harmony] : []));

/**
 * A name no copyist prints as a root: double accidentals; Fb and B# outside the signature; Cb and E# unless
 * they are in the signature of the key or of the chords beside, or its very next accidental. The raised
 * leading note of a minor key, or into a minor chord, is none.
 */
function badName(site: Site, pc: Spelled): boolean {
  if (Math.abs(alterOf(pc)) > 1) return true;
  const name = nameOf(pc);
  const signature = signatureOf(site.key);
  const leading = [signature, ...[site.held, site.next].flatMap(ownSignature)].includes(pc - 8);
  if (leading || (pc >= signature - 1 && pc <= signature + 5)) return false;
  if (name === 'Fb' || name === 'B#') return true;
  if (name !== 'Cb' && name !== 'E#') return false;
  const known = (sharps: number): boolean => pc >= sharps - 2 && pc <= sharps + 6;
  return ![signature, ...[site.held, site.next].flatMap(ownSignature)].some(known);
}

/** E#, B# or Cb as one half of a two-five whose other half has a plain name: they stand on one side. */
function inTwoFive(rewrite: Rewrite, chord: Chord): boolean {
  const chords = chordsOf(rewrite);
  const at = chords.indexOf(chord);
  const sharpTwo = /^[EB]#$/u.test(nameOf(chord.root)) && chords[at + 1]?.root === chord.root - 1;
  const flatFive = nameOf(chord.root) === 'Cb' && chords[at - 1]?.root === chord.root + 1;
  return sharpTwo || flatFive;
}

/** Signature of the key a chord is home in. */
function ownSignature(chord: Chord | null): readonly number[] {
  if (chord === null) return [];
  const { family } = chord.quality;
  if (family === 'major') return [chord.root];
  return family === 'minor' || family === 'half-diminished' ? [chord.root - 3] : [];
}

/** What is wrong with one rewrite; empty when nothing is. */
function faults(site: Site, rewrite: Rewrite): string[] {
  const found = coverFaults(site, rewrite.changes);
  if (site.keep.length > 0) return found.concat(keepFaults(site, rewrite.changes));
  return found.concat(
    spellingFaults(site, rewrite),
    homeFaults(site, rewrite),
    site.meter === METERS[0] ? wordFaults(rewrite) : [],
  );
}

function coverFaults(site: Site, changes: readonly Change[]): string[] {
  const found: string[] = [];
  let place = 0;
  for (const change of changes) {
    if (change.at !== place) found.push(`gap or overlap at ${place}`);
    if (change.length <= 0 || !Number.isInteger(change.length)) found.push('bad length');
    if (change.at % beatTicks(site.meter) !== 0) found.push(`off the beat at ${change.at}`);
    place = change.at + change.length;
  }
  if (place !== site.length) found.push(`ends at ${place}`);
  const first = changes[0];
  if (changes.length === 1 && first !== undefined && sameChord(first.harmony, site.held)) {
    found.push('changes nothing');
  }
  const repeated = changes.some((change, i) => {
    const next = changes[i + 1];
    return next !== undefined && sameChord(change.harmony, next.harmony);
  });
  if (repeated) found.push('a chord follows itself');
  return found;
}

function spellingFaults(site: Site, rewrite: Rewrite): string[] {
  const found: string[] = [];
  chordsOf(rewrite).forEach((chord, i, chords) => {
    const next = chords[i + 1];
    const two = chord.quality.family === 'minor' || chord.quality.family === 'half-diminished';
    if (next === undefined || !two || next.quality.family !== 'dominant') return;
    if (semitonesUp(chord.root, next.root) === 5 && next.root !== chord.root - 1) {
      found.push(`${symbol(chord)} ${symbol(next)} on two sides`);
    }
  });
  for (const chord of chordsOf(rewrite)) {
    const home = chord.quality.suffix === 'maj7' && chord !== site.held;
    if (home && ['G#', 'D#', 'A#'].includes(nameOf(chord.root))) found.push(symbol(chord));
    for (const pc of chord.bass === null ? [chord.root] : [chord.root, chord.bass]) {
      if (badName(site, pc) && !inTwoFive(rewrite, chord)) found.push(`${nameOf(pc)} in print`);
    }
  }
  for (const pc of [rewrite.tells, rewrite.home]) {
    if (pc !== null && Math.abs(alterOf(pc)) > 1) found.push(`tells of ${nameOf(pc)}`);
  }
  return found;
}

function wordFaults({ reason }: Rewrite): string[] {
  if (/bb|##|undefined|null|NaN/u.test(reason)) return [`says: ${reason}`];
  return /^[A-Z].*\.$/u.test(reason) ? [] : [`no sentence: ${reason}`];
}

const sounds = (chord: Chord, pc: Spelled): boolean =>
  (chromaSetOf(chord) & (1 << chromaOf(pc))) !== 0;

function homeFaults(site: Site, rewrite: Rewrite): string[] {
  const found: string[] = [];
  const { tells, home, changes } = rewrite;
  const last = changes.at(-1);
  if (AWAY.has(rewrite.device) && !/^(V-IV|into-next|turns-)/u.test(rewrite.variant)) {
    if (
      home !== null &&
      !sounds(site.held, home) &&
      rewrite.variant.startsWith('up-ii-V') === false
    ) {
      found.push(`${nameOf(home)} is not in ${symbol(site.held)}`);
    }
    const returns = last !== undefined && sameChord(last.harmony, site.held);
    if (!returns && !homeNext(site)) found.push('does not come home');
    for (const change of changes.slice(1)) {
      if (sameChord(change.harmony, site.held) && weightAt(site, change.at) < 3) {
        found.push(`comes home on a weak beat at ${change.at}`);
      }
    }
  }
  if (LEADING.has(rewrite.device)) {
    if (last !== undefined && weightAt(site, last.at) > weightAt(site, site.length)) {
      found.push('resolves on a weaker beat');
    }
    if (home !== null && site.next !== null && !sounds(site.next, home)) {
      found.push(`${nameOf(home)} is not in ${symbol(site.next)}`);
    }
  }
  if (tells !== null && !chordsOf(rewrite).some((chord) => sounds(chord, tells))) {
    found.push(`${nameOf(tells)} sounds nowhere`);
  }
  return found;
}

function keepFaults(site: Site, changes: readonly Change[]): string[] {
  return site.keep.flatMap((place) => {
    const there = changes.find((c) => place >= c.at && place < c.at + c.length);
    return there !== undefined && sameChord(there.harmony, site.held)
      ? []
      : [`the section start at ${place} lost its chord`];
  });
}

const DEGREES = ['note', 'triad', 'seventh', 'full'];

/** A milder degree that comes after a stronger one. */
function disorder(rewrites: readonly Rewrite[]): string[] {
  const ranks = rewrites.map((rewrite) => DEGREES.indexOf(rewrite.degree));
  return ranks.every((rank, i) => rank >= (ranks[i - 1] ?? 0)) ? [] : ['not mildest first'];
}

/** Two rewrites of one device and degree with one variant name: they could not be told apart. */
function twins(rewrites: readonly Rewrite[]): string[] {
  const seen = new Set<string>();
  return rewrites.flatMap((rewrite) => {
    const id = `${rewrite.degree}.${rewrite.variant}`;
    if (!/^[\x21-\x7e]+$/u.test(id)) return [`${id} is not plain ASCII`];
    if (seen.has(id)) return [`${rewrite.device}.${id} twice`];
    seen.add(id);
    return [];
  });
}

describe.each(KEYS.map((key) => ({ key, name: keyName(key) })))('in $name', ({ key }) => {
  const sites = sitesIn(key);

  test.each([...DEVICES])(
    '$name is spelled right, fills its span and comes home',
    (device: Device) => {
      const found: string[] = [];
      for (const site of sites) {
        const rewrites = device.propose(site);
        found.push(...twins(rewrites), ...disorder(rewrites));
        for (const rewrite of rewrites) {
          for (const fault of faults(site, rewrite))
            found.push(`${fault}: ${where(site, rewrite)}`);
        }
      }
      expect(found.slice(0, 12)).toEqual([]);
    },
  );
});

describe('reach', () => {
  test('every device finds a place in every meter', () => {
    for (const device of DEVICES) {
      for (const meter of METERS) {
        const found = KEYS.slice(0, 1)
          .concat(KEYS.slice(12, 13))
          .flatMap(sitesIn)
          .filter((site) => site.meter === meter && device.propose(site).length > 0);
        expect(found.length, `${device.name} in ${meterName(meter)}`).toBeGreaterThan(0);
      }
    }
  });

  test('every span of one to eight bars of home in 4/4 has answers from at least four devices', () => {
    for (const key of KEYS) {
      for (const site of sitesIn(key).filter((s) => s.keep.length === 0)) {
        if (meterName(site.meter) !== '4/4' || semitonesUp(key.tonic, site.held.root) !== 0)
          continue;
        const answers = DEVICES.filter((device) => device.propose(site).length > 0);
        expect(answers.length).toBeGreaterThanOrEqual(4);
      }
    }
  });
});
