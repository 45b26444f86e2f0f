import { describe, expect, test } from 'vitest';
import { symbolOf } from '../chord/format.ts';
import { understand } from '../proposals/understand.ts';
import { readTune } from '../tune/read.ts';
import { gridOf, weightAt } from './grid.ts';
import { DEVICES } from './index.ts';
import type { Site } from './model.ts';
import { siteOf, sitesOf } from './site.ts';

/** Sites from real tunes: spans in mid-bar, across section ends and round the form's end. */

function sitesIn(text: string): readonly Site[] {
  const { tune } = readTune(text);
  const understood = tune === null ? null : understand(tune);
  if (understood === null || !understood.ok) throw new Error('the tune could not be read');
  return sitesOf(understood.value);
}

const words = (site: Site): string =>
  site.written.map(({ harmony }) => symbolOf(harmony)).join(' ');

const find = (sites: readonly Site[], id: string): Site => {
  const site = sites.find((one) => one.span.id === id);
  if (site === undefined) throw new Error(`no ${id} among ${sites.map((s) => s.span.id)}`);
  return site;
};

const BAR = 3840;

describe('a span round the end of the form', () => {
  const sites = sitesIn(
    'key: C major\nmeter: 4/4\n\n[A]\n| Cmaj7 | Cmaj7 | Dm7 | G7 | Am7 | G7 | Cmaj7 | Cmaj7 |\n',
  );
  const site = sites.find((one) => one.length === 4 * BAR && one.span.start === 6 * BAR);

  test('is one site whose bars run on from the last into the first', () => {
    expect(site?.bars.map((bar) => [bar.start, bar.number])).toEqual([
      [0, 7],
      [BAR, 8],
      [2 * BAR, 1],
      [3 * BAR, 2],
    ]);
    expect(site?.next && symbolOf(site.next)).toBe('Dm7');
    expect(site?.previous && symbolOf(site.previous)).toBe('G7');
  });

  test('keeps the written chord on the top of the form', () => {
    expect(site?.keep).toContain(2 * BAR);
    for (const device of DEVICES) {
      for (const rewrite of site === undefined ? [] : device.propose(site)) {
        const top = rewrite.changes.find(
          (change) => change.at <= 2 * BAR && 2 * BAR < change.at + change.length,
        );
        expect(top && symbolOf(top.harmony), `${rewrite.device} ${rewrite.variant}`).toBe('Cmaj7');
      }
    }
  });
});

describe('a span that starts or ends inside a bar', () => {
  const sites = sitesIn(
    'key: C major\nmeter: 4/4\n\n[A]\n| Dm7 G7 | Dm7 Cmaj7 | Cmaj7 | Cmaj7 Am7 | Dm7 | G7 |\n',
  );
  const site = find(sites, 'b2.3x8');

  test('counts its bars from its own start, the first of them before it', () => {
    expect(site.bars.map((bar) => bar.start)).toEqual([-BAR / 2, BAR / 2, (3 * BAR) / 2]);
    expect(gridOf(site).lines).toEqual([0, BAR / 2, (3 * BAR) / 2]);
    expect(gridOf(site).endsOnLine).toBe(false);
    expect(weightAt(site, 0)).toBe(3);
    expect(weightAt(site, site.length)).toBe(3);
  });

  test('is covered exactly, and returns only on strong beats', () => {
    for (const device of DEVICES) {
      for (const { changes, variant } of device.propose(site)) {
        expect(changes[0]?.at, variant).toBe(0);
        const end = changes.at(-1);
        expect((end?.at ?? 0) + (end?.length ?? 0), variant).toBe(site.length);
      }
    }
  });

  test('is led out of by a beat, so that the next chord falls on the stronger one', () => {
    const lead = DEVICES.find((device) => device.name === 'lead-in-dominant');
    const starts = lead?.propose(site).map((rewrite) => rewrite.changes.at(-1)?.at);
    expect(new Set(starts)).toEqual(new Set([site.length - 960]));
  });
});

describe('a form of one chord', () => {
  test('leads back to itself', () => {
    const [site] = sitesIn('key: D minor\nmeter: 3/4\n\n[A]\n| Dm7 | Dm7 | Dm7 | Dm7 |\n');
    expect(site?.next && symbolOf(site.next)).toBe('Dm7');
    expect(DEVICES.some((device) => site !== undefined && device.propose(site).length > 0)).toBe(
      true,
    );
  });
});

describe('stretches of several chords', () => {
  const sites = sitesIn(
    'key: C major\nmeter: 4/4\n\n[A]\n| Dm7 | G7 | Cmaj7 | Cmaj7 | Cmaj7 | E7 A7 | D7 G7 | Cmaj7 |\n',
  );

  test('a two-five, a two-five-one of four bars and a row of dominants have ids of their own', () => {
    const stretches = sites.filter((site) => site.span.id.startsWith('s')).map(words);
    expect(stretches).toEqual(expect.arrayContaining(['Dm7 G7', 'Dm7 G7 Cmaj7', 'E7 A7 D7 G7']));
  });

  test('ids are unique and sites stand in order', () => {
    const ids = sites.map((site) => site.span.id);
    expect(new Set(ids).size).toBe(ids.length);
    const starts = sites.map((site) => site.span.start);
    expect(starts).toEqual([...starts].sort((a, b) => a - b));
  });

  test('the four bars of a two-five-one take the cycle of major thirds', () => {
    const site = sites.find((one) => words(one) === 'Dm7 G7 Cmaj7');
    const cycle = DEVICES.find((device) => device.name === 'major-thirds-cycle');
    const [rewrite] = site === undefined ? [] : (cycle?.propose(site) ?? []);
    expect(rewrite?.changes.map(({ harmony }) => symbolOf(harmony)).join(' ')).toBe(
      'Dm7 Eb7 Abmaj7 B7 Emaj7 G7 Cmaj7',
    );
  });
});

test('a span of N.C. is no site', () => {
  const { tune } = readTune('key: C major\nmeter: 4/4\n\n[A]\n| N.C. | N.C. | C | G7 |\n');
  const understood = tune === null ? null : understand(tune);
  if (understood === null || !understood.ok) throw new Error('the tune could not be read');
  const [span] = understood.value.spans;
  if (span === undefined) throw new Error('no span');
  expect(siteOf(understood.value, { ...span, harmony: { kind: 'none' } })).toBeNull();
});

test('melody is handed over clipped to the span and counted from its start', () => {
  const sites = sitesIn(
    'key: C major\nmeter: 4/4\n\n[A]\n| Dm7 | Cmaj7 | Cmaj7 | G7 |\nmelody: | whole D4~ | half D4 G4 | whole C5~ | C5 |\n',
  );
  const site = sites.find((one) => words(one) === 'Cmaj7');
  expect(site?.melody.map(({ start, length }) => [start, length])).toEqual([
    [0, BAR / 2],
    [BAR / 2, BAR / 2],
    [BAR, BAR],
  ]);
});
