import { describe, expect, test } from 'vitest';
import {
  keyNamed,
  meterNamed,
  siteFrom,
  siteOfChanges,
  wordsOf,
} from '../../tests/support/site.ts';
import { sameChord } from '../chord/same.ts';
import { understand } from '../proposals/understand.ts';
import { barTicks } from '../time/meter.ts';
import { readTune } from '../tune/read.ts';
import { DEVICES } from './index.ts';
import type { Change, Device, Rewrite, Site, Thinning } from './model.ts';
import { chordIn, symbol, UP } from './sound.ts';
import { simplify, thin, thinnings } from './thin.ts';

/**
 * Thinning undoes thickening: whatever a device writes on a site, the same device recognises in the
 * written changes and takes out again.
 */

const METER = meterNamed('4/4');

/** Held chord and next chord above the tonic, with the key's mode. */
const SCENES = [
  ['major', 0, 'maj7', 0, 'maj7'],
  ['major', 0, 'maj7', UP.four, 'maj7'],
  ['major', 0, '', UP.four, 'maj7'],
  ['major', 0, '6', UP.two, 'm7'],
  ['major', 0, '7', 0, '7'],
  ['major', 0, '7', UP.four, '7'],
  ['major', UP.five, '7', 0, 'maj7'],
  ['major', UP.five, '7sus4', 0, 'maj7'],
  ['major', UP.two, 'm7', UP.five, '7'],
  ['minor', 0, 'm7', 0, 'm7'],
  ['minor', 0, 'm', UP.four, 'm7'],
  ['minor', UP.two, 'm7b5', UP.five, '7'],
] as const;

function sites(): Site[] {
  const found: Site[] = [];
  for (const tonic of ['C', 'Db']) {
    for (const [mode, heldUp, held, nextUp, next] of SCENES) {
      const key = keyNamed(`${tonic} ${mode}`);
      for (const bars of [1, 2, 4]) {
        const harmony = chordIn(key, key.tonic + heldUp, held);
        const written = [{ at: 0, length: bars * barTicks(METER), harmony }];
        found.push(siteOfChanges(key, written, chordIn(key, key.tonic + nextUp, next), METER));
      }
    }
  }
  return [
    ...found,
    siteFrom('C major', '| Dm7 | G7 | Cmaj7 | Cmaj7 |', 'Cmaj7'),
    siteFrom('C major', '| Dm7 | G7 |', 'Cmaj7'),
    siteFrom('C major', '| E7 A7 | D7 G7 |', 'Cmaj7'),
  ];
}

/** Changes with neighbours of one chord joined. */
function joined(changes: readonly Change[]): readonly Change[] {
  const result: Change[] = [];
  for (const change of changes) {
    const before = result.at(-1);
    if (before !== undefined && sameChord(before.harmony, change.harmony)) {
      result[result.length - 1] = { ...before, length: before.length + change.length };
    } else {
      result.push(change);
    }
  }
  return result;
}

/** The changes after one thinning. */
function applied(changes: readonly Change[], thinning: Thinning): readonly Change[] {
  const { first, last } = thinning;
  const at = changes[first]?.at ?? 0;
  return joined([
    ...changes.slice(0, first),
    ...thinning.changes.map((change) => ({ ...change, at: at + change.at })),
    ...changes.slice(last + 1),
  ]);
}

/** Thinnings at one chord that stay inside the span. */
function inside(
  device: Device,
  site: Site,
  changes: readonly Change[],
  index: number,
): readonly Thinning[] {
  const { analysis } = siteOfChanges(site.key, changes, site.next, site.meter);
  return thinnings(analysis, device, index).filter(
    ({ first, last }) => first <= last && last < changes.length,
  );
}

const same = (a: readonly Change[], b: readonly Change[]): boolean =>
  a.length === b.length &&
  a.every((change, i) => {
    const other = b[i];
    return (
      other !== undefined && change.at === other.at && sameChord(change.harmony, other.harmony)
    );
  });

/** Whether one thinning anywhere, or the first choice taken again and again, leads back to what was written. */
function thinsBack(device: Device, site: Site, rewrite: Rewrite): boolean {
  const here = rewrite.changes.findIndex((change) => !sameChord(change.harmony, site.held));
  const once = inside(device, site, rewrite.changes, Math.max(0, here));
  if (once.some((t) => same(applied(rewrite.changes, t), site.written))) return true;
  let state = rewrite.changes;
  for (let step = 0; step < 8; step += 1) {
    const index = state.findIndex((_, i) => inside(device, site, state, i).length > 0);
    const first = index < 0 ? undefined : inside(device, site, state, index)[0];
    if (first === undefined) return false;
    state = applied(state, first);
    if (same(state, site.written)) return true;
  }
  return false;
}

/** Why a rewrite cannot be thinned back: every exception with its reason; null when it must be. */
function exception(site: Site, rewrite: Rewrite): string | null {
  const heldLeft = [...rewrite.changes.map((c) => c.harmony), site.next].some(
    (harmony) => harmony !== null && sameChord(harmony, site.held),
  );
  if (site.written.length === 1 && !heldLeft)
    return 'nothing of the held chord is left to go back to';
  return null;
}

const SITES = sites();

describe.each([...DEVICES])('$name', (device) => {
  test('takes out again whatever it wrote', () => {
    const left: string[] = [];
    let tried = 0;
    for (const site of SITES) {
      for (const rewrite of device.propose(site)) {
        if (exception(site, rewrite) !== null) continue;
        tried += 1;
        if (thinsBack(device, site, rewrite)) continue;
        const next = site.next === null ? '' : symbol(site.next);
        left.push(`${rewrite.degree} ${rewrite.variant}: ${wordsOf(rewrite.changes)} -> ${next}`);
      }
    }
    expect(tried).toBeGreaterThan(0);
    expect(left.slice(0, 15), `${left.length} of ${tried}`).toEqual([]);
  });
});

describe('taking out what is recognised in a tune', () => {
  const simplified = (bars: string, index: number): string | null => {
    const { tune } = readTune(`key: C major\nmeter: 4/4\n\n[A]\n${bars}\n`);
    const understood = tune === null ? null : understand(tune);
    if (understood === null || !understood.ok) throw new Error('the tune could not be read');
    const thinning = simplify(understood.value, DEVICES, index);
    return thinning === null ? null : wordsOf(thinning.changes);
  };

  test('a passing diminished of half a bar gives its time to the chord before it', () => {
    expect(simplified('| Cmaj7 C#dim7 | Dm7 | G7 | Cmaj7 |', 1)).toBe('0 Cmaj7');
  });

  test('a dark two-five turns plain', () => {
    expect(simplified('| Cmaj7 | Dm7b5 | G7b9 | Cmaj7 |', 1)).toBe('0 Dm7, 3840 G7');
  });

  test('a borrowed chord that no rule would write there gives way to the one that rings on', () => {
    expect(simplified('| Fmaj7 | Am7 | Abmaj7 | G7 | Cmaj7 |', 2)).toBe('0 Am7');
  });

  test('a chord of more than a bar belongs to the tune', () => {
    expect(simplified('| C7 | C7 | F7 | F7 | C7 | G7 | G7 | C7 |', 2)).toBeNull();
  });

  test('nothing is taken out where nothing is recognised', () => {
    expect(simplified('| Cmaj7 | Dm7 | G7 | Cmaj7 |', 1)).toBeNull();
  });

  test('a device that wrote nothing there takes nothing out', () => {
    const { analysis } = siteFrom('C major', '| Cmaj7 | Dm7 | G7 |', 'Cmaj7');
    const backdoor = DEVICES.find((device) => device.name === 'backdoor');
    expect(backdoor && thin(analysis, backdoor, 1)).toBeNull();
  });
});
