import { describe, expect, it } from 'vitest';
import { symbolOf } from '../chord/format.ts';
import { presetIntensities } from '../proposals/arc.ts';
import { propose } from '../proposals/propose.ts';
import { understand } from '../proposals/understand.ts';
import { readTune } from '../tune/read.ts';
import { crossings } from './crossings.ts';
import { applyCommand, emptyArrangement } from './fold.ts';
import type { ArrangementState } from './model.ts';
import { planChoruses } from './plan-choruses.ts';
import { realise } from './realise.ts';

/** Held at the top, in the middle, and around the form's end; written in two ways at home. */
const TEXT = `title: T
key: Bb major
meter: 4/4
[A]
| Bbmaj7 | % | Cm7 | F7 | Ebmaj7 | % | % | Dm7 G7 |
| Cm7 | % | F7 | % | Dm7 G7 | Cm7 F7 | Bb6 | % |
`;

function analysed() {
  const { tune } = readTune(TEXT);
  if (!tune) throw new Error('not read');
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value;
}

const analysis = analysed();

function planned(choruses: number, state = emptyArrangement('T', choruses)) {
  const intensities = presetIntensities('rise-and-come-home', choruses);
  const plan = planChoruses({ analysis, tempo: 148, state, intensities, taste: null });
  let now: ArrangementState = state;
  for (const [index, { placement }] of plan.slips.entries()) {
    const applied = applyCommand(now, {
      kind: 'accept',
      placement: { ...placement, id: `p${index}` },
    });
    if (!applied.ok) throw new Error(applied.error.code);
    now = applied.value.state;
  }
  return { plan, state: now };
}

describe('planning the choruses of a tune', () => {
  it('leaves the first and the last chorus as written, also at the top that the chorus before runs into', () => {
    const { state } = planned(5);
    const { solo, chorusLength } = realise(analysis.chorus, state);
    const written = analysis.chorus.harmony.map(({ harmony }) => symbolOf(harmony));
    for (const order of [0, 4]) {
      const from = order * chorusLength;
      const here = solo.filter((event) => event.start >= from && event.start < from + chorusLength);
      expect(here.map(({ harmony }) => symbolOf(harmony))).toEqual(written);
    }
  });

  it('fills the choruses between, none of them like its neighbour at the same stretch', () => {
    const { plan } = planned(5);
    expect(plan.slips.length).toBeGreaterThan(4);
    expect(plan.plainShare).toBeGreaterThanOrEqual(0.25);
    expect(plan.plainShare).toBeLessThanOrEqual(0.5);
    const devices = new Map(
      plan.slips.map(({ chorus, placement }) => [
        `${chorus}@${placement.start}`,
        placement.origin.kind === 'proposal'
          ? `${placement.origin.device}.${placement.origin.degree}`
          : '',
      ]),
    );
    for (const { chorus, placement } of plan.slips) {
      const here = devices.get(`${chorus}@${placement.start}`);
      expect(devices.get(`${chorus + 1}@${placement.start}`)).not.toBe(here);
    }
  });

  it('puts nothing in the place of a chord that is led into', () => {
    const { tune } = readTune(
      'title: T\nkey: C minor\nmeter: 4/4\n[A]\n| Cm7 | % | % | % | Fm7 | % | Cm7 | % | Ab7 | G7b9 | Cm7 | % |\n',
    );
    const led = tune && understand(tune);
    if (!led?.ok) throw new Error('not understood');
    for (const level of [2, 3, 4, 5]) {
      const state = emptyArrangement('T', 5);
      const { slips } = planChoruses({
        analysis: led.value,
        tempo: 140,
        state,
        intensities: [0, 2, 4, level, level],
        taste: null,
      });
      for (const chorus of [1, 2, 3, 4]) {
        const standing = slips
          .filter((slip) => slip.chorus === chorus)
          .map(({ placement }) => ({ placement, score: 0 }));
        expect(crossings(standing, led.value.chorus.harmony)).toEqual([]);
      }
    }
  });

  it('lets no device say more than two things in a chorus, at any intensity', () => {
    for (const level of [1, 2, 3, 4, 5]) {
      const state = emptyArrangement('T', 3);
      const intensities = [level, level, level];
      const plan = planChoruses({ analysis, tempo: 148, state, intensities, taste: null });
      for (const chorus of [0, 1, 2]) {
        const said = new Map<string, Set<string>>();
        for (const { placement } of plan.slips.filter((slip) => slip.chorus === chorus)) {
          const device = placement.origin.kind === 'proposal' ? placement.origin.device : 'hand';
          const words = placement.changes.map(({ harmony }) => symbolOf(harmony)).join(' ');
          said.set(device, (said.get(device) ?? new Set()).add(words));
        }
        for (const statements of said.values()) expect(statements.size).toBeLessThanOrEqual(2);
      }
    }
  });

  it('plans nothing again where something stands already', () => {
    const first = planned(5);
    const again = planned(5, first.state);
    expect(again.plan.slips.length).toBeLessThanOrEqual(first.plan.slips.length);
    for (const { placement } of again.plan.slips) {
      const taken = Object.values(first.state.placements).some(
        (other) => other.chorus === placement.chorus && other.start === placement.start,
      );
      expect(taken).toBe(false);
    }
  });
});

describe('a proposal on a stretch that is written in two ways', () => {
  it('rests at home in the words of the page', () => {
    const wrapped = analysis.spans.find((span) => span.startBar === 15 && span.length > 2 * 3840);
    const [proposal] = propose(analysis, {
      chorus: 1,
      spans: [wrapped?.id ?? ''],
      devices: ['side-step'],
    });
    const homes = proposal?.changes.map(({ harmony }) => symbolOf(harmony)) ?? [];
    expect(homes).toContain('Bb6');
    expect(homes).toContain('Bbmaj7');
    const total = proposal?.changes.reduce((sum, change) => sum + change.length, 0);
    expect(total).toBe(proposal?.length);
  });
});
