import { describe, expect, it } from 'vitest';
import { propose } from '../../shared-core/proposals/propose.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { groupByDevice, inSight, waysOpen } from './device-groups.ts';

const { tune } = readTune('key: Bb major\n[A]\n| Bbmaj7 | % | % | % |\n| Cm7 | F7 | Bbmaj7 | F7 |');
const understood = tune && understand(tune);
if (!understood?.ok) throw new Error('the test tune cannot be understood');
const [span] = understood.value.spans;
if (!span) throw new Error('the test tune holds no bar');
const proposals = propose(understood.value, { tempo: 120, chorus: 0, uses: [], spans: [span.id] });
const groups = groupByDevice(proposals, span);
const NONE = new Set<never>();

describe('the proposals of a held bar by device', () => {
  it('lose none and name each device once', () => {
    const all = groups.flatMap((group) => [group.best, ...group.ways]);
    expect(all.length).toBe(proposals.length);
    expect(new Set(all)).toEqual(new Set(proposals));
    expect(new Set(groups.map((group) => group.device)).size).toBe(groups.length);
  });

  it('show the best of each device, in the order of the whole list', () => {
    const first = proposals.filter(
      (proposal, index) =>
        proposals.findIndex((other) => other.device === proposal.device) === index,
    );
    expect(groups.map((group) => group.best)).toEqual(first);
  });

  it('keep the other ways from the fullest to the single note, each degree by place', () => {
    const order = ['full', 'seventh', 'triad', 'note'];
    for (const { ways } of groups) {
      const degrees = ways.map((way) => order.indexOf(way.degree));
      expect(degrees).toEqual([...degrees].sort((a, b) => a - b));
    }
    const substitutes = groups.find((group) => group.device === 'tritone-substitute');
    const places = (substitutes?.ways ?? [])
      .filter((way) => way.degree === 'seventh')
      .map((way) => way.changes[1]?.at ?? 0);
    expect(places.length).toBeGreaterThan(3);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  it('are seen as one line a device until somebody asks for more', () => {
    expect(inSight(groups, NONE, null)).toEqual(groups.map((group) => group.best));
    const [group] = groups;
    if (!group) throw new Error('no device proposes anything');
    const seen = inSight(groups, new Set([group.device]), group.best);
    expect(seen.slice(0, group.ways.length + 1)).toEqual([group.best, ...group.ways]);
    expect(seen.length).toBe(groups.length + group.ways.length);
  });

  it('lie open where the chosen one is one of the ways', () => {
    const [group, other] = groups;
    const way = group?.ways[0];
    if (!group || !other || !way) throw new Error('the first device knows one way only');
    expect(waysOpen(group, NONE, way)).toBe(true);
    expect(waysOpen(group, NONE, group.best)).toBe(false);
    expect(waysOpen(other, NONE, way)).toBe(false);
  });
});
