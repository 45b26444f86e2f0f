import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEVICE_NAMES } from '../analysis/model.ts';
import {
  type ArcChorus,
  type ArcRequest,
  disjointSpans,
  planArc,
  presetIntensities,
} from './arc.ts';
import type { Proposal } from './model.ts';
import { WEIGHTS } from './weights.ts';

const BAR = 3840;

/** A proposal with only what the arc looks at. */
function candidate(
  span: string,
  device: number,
  degree: 'triad' | 'seventh',
  score: number,
  peak: number,
): Proposal {
  const name = DEVICE_NAMES[device % DEVICE_NAMES.length] ?? 'minor-four';
  return {
    id: `${name}.${degree}.x~${span}.${score}.${peak}`,
    device: name,
    degree,
    variant: 'x',
    span,
    carrier: 'either',
    start: 0,
    length: BAR,
    changes: [],
    tells: null,
    home: null,
    melodyFit: { score: 1, findings: [], worst: null },
    voiceLeading: { semitones: 0, commonTones: 0, guideSteps: 0, guideMoves: 0 },
    bassMotion: 1,
    usual: 1,
    clashes: [],
    verdict: 'fine over the top',
    changesPerMinute: 0,
    tension: [],
    peak,
    freshness: 1,
    score,
    reason: '',
  };
}

/** The objective written out a second time, straight from its description, for the brute force. */
function worth(
  request: ArcRequest,
  pick: readonly (Proposal | null)[][],
): { value: number; off: number } {
  const { arc, freshness } = WEIGHTS;
  let value = 0;
  let changed = 0;
  let total = 0;
  request.spans.forEach((span, s) => {
    request.choruses.forEach((chorus, c) => {
      const now = pick[s]?.[c] ?? null;
      const aim = chorus.intensity / 5;
      value += now
        ? now.score + (1 - Math.abs(now.peak - aim)) * arc.tensionMatch
        : (1 - aim) * arc.calm;
      const before = c > 0 ? (pick[s]?.[c - 1] ?? null) : null;
      if (now && before && now.device === before.device) {
        value -= arc.repeat * (now.degree === before.degree ? 1 : freshness.otherDegree);
      }
      if (chorus.intensity > 0) {
        total += span.length;
        if (now) changed += span.length;
      }
    });
    const first = pick[s]?.[0] ?? null;
    const last = pick[s]?.[request.choruses.length - 1] ?? null;
    const alike =
      first && last ? first.device === last.device && first.degree === last.degree : first === last;
    if (request.choruses.length > 1 && alike) value += arc.homecoming;
  });
  const least = total * (1 - arc.plainMost);
  const most = total * (1 - arc.plainLeast);
  const off = Math.max(0, least - changed, changed - most);
  return { value, off };
}

function bruteForce(request: ArcRequest): { value: number; off: number } {
  const cells = request.spans.flatMap((span, s) =>
    request.choruses.map((chorus, c) => ({ span, s, chorus, c })),
  );
  let best = { value: Number.NEGATIVE_INFINITY, off: Number.POSITIVE_INFINITY };
  const pick: (Proposal | null)[][] = request.spans.map(() => []);
  const visit = (at: number): void => {
    const cell = cells[at];
    if (!cell) {
      const found = worth(request, pick);
      if (
        found.off < best.off - 1e-9 ||
        (Math.abs(found.off - best.off) < 1e-9 && found.value > best.value)
      )
        best = found;
      return;
    }
    const free = cell.chorus.intensity === 0 ? [] : cell.chorus.candidates;
    for (const option of [null, ...free.filter((proposal) => proposal.span === cell.span.id)]) {
      (pick[cell.s] ?? [])[cell.c] = option;
      visit(at + 1);
    }
  };
  visit(0);
  return best;
}

const smallRequest: fc.Arbitrary<ArcRequest> = fc
  .record({
    lengths: fc.array(fc.integer({ min: 1, max: 3 }), { minLength: 1, maxLength: 2 }),
    choruses: fc.array(
      fc.record({
        intensity: fc.integer({ min: 0, max: 5 }),
        seeds: fc.array(
          fc.tuple(
            fc.nat(1),
            fc.nat(2),
            fc.boolean(),
            fc.integer({ min: 0, max: 20 }),
            fc.integer({ min: 0, max: 10 }),
          ),
          { maxLength: 4 },
        ),
      }),
      { minLength: 1, maxLength: 3 },
    ),
  })
  .map(({ lengths, choruses }) => {
    let at = 0;
    const spans = lengths.map((length, index) => {
      const span = { id: `s${index}`, start: at * BAR, length: length * BAR };
      at += length;
      return span;
    });
    return {
      spans,
      choruses: choruses.map(
        ({ intensity, seeds }): ArcChorus => ({
          intensity,
          candidates: seeds.map(([span, device, seventh, score, peak]) =>
            candidate(`s${span}`, device, seventh ? 'seventh' : 'triad', score / 20, peak / 10),
          ),
        }),
      ),
    };
  });

describe('planning an arc over the choruses', () => {
  it('finds the true optimum of every small case', () => {
    fc.assert(
      fc.property(smallRequest, (request) => {
        const plan = planArc(request);
        if (!plan.ok) throw new Error(plan.error.code);
        expect(plan.value.value).toBeCloseTo(bruteForce(request).value, 3);
      }),
      { numRuns: 400 },
    );
  });

  it('keeps what was accepted, what was typed by hand, and away from what was laid aside', () => {
    const liked = candidate('s0', 0, 'seventh', 0.1, 0.1);
    const best = candidate('s0', 1, 'seventh', 1, 1);
    const plan = planArc({
      spans: [{ id: 's0', start: 0, length: BAR }],
      choruses: [
        { intensity: 5, candidates: [best], fixed: { s0: liked } },
        { intensity: 5, candidates: [best], fixed: { s0: 'hand' } },
        { intensity: 5, candidates: [best], rejected: [best.id] },
      ],
      plain: { least: 0, most: 1 },
    });
    if (!plan.ok) throw new Error(plan.error.code);
    expect(plan.value.choices.map((choice) => choice.proposal)).toEqual([liked, 'hand', null]);
  });

  it('leaves a chorus of intensity nought as written, and says what would have been next', () => {
    const best = candidate('s0', 1, 'seventh', 1, 1);
    const plan = planArc({
      spans: [{ id: 's0', start: 0, length: BAR }],
      choruses: [
        { intensity: 0, candidates: [best] },
        { intensity: 5, candidates: [best] },
      ],
      plain: { least: 0, most: 1 },
    });
    if (!plan.ok) throw new Error(plan.error.code);
    expect(plan.value.choices.map((choice) => choice.proposal)).toEqual([null, best]);
    expect(plan.value.choices[1]?.runnerUp?.proposal).toBeNull();
  });

  it('does not say the same device in neighbouring choruses when another is nearly as good', () => {
    const a = candidate('s0', 0, 'seventh', 0.8, 0.5);
    const b = candidate('s0', 1, 'seventh', 0.7, 0.5);
    const chorus = { intensity: 3, candidates: [a, b] };
    const plan = planArc({
      spans: [{ id: 's0', start: 0, length: BAR }],
      choruses: [chorus, chorus],
      plain: { least: 0, most: 0 },
    });
    if (!plan.ok) throw new Error(plan.error.code);
    expect(new Set(plan.value.choices.map((choice) => choice.proposal)).size).toBe(2);
  });

  it('refuses spans that overlap and intensities off the scale', () => {
    const spans = [
      { id: 'a', start: 0, length: 2 * BAR },
      { id: 'b', start: BAR, length: BAR },
    ];
    const overlap = planArc({ spans, choruses: [{ intensity: 1, candidates: [] }] });
    expect(overlap).toEqual({
      ok: false,
      error: { code: 'arc/overlap', data: { span: 'b', before: 'a' } },
    });
    const wild = planArc({ spans: [], choruses: [{ intensity: 6, candidates: [] }] });
    expect(wild.ok ? null : wild.error.code).toBe('arc/intensity');
  });
});

describe('the shapes of intensity', () => {
  it('rise to a peak two thirds through and come home', () => {
    expect(presetIntensities('rise-and-come-home', 7)).toEqual([0, 1, 3, 4, 5, 3, 0]);
    expect(presetIntensities('rise-and-come-home', 1)).toEqual([0]);
  });
  it('leave the head plain and the solos free', () => {
    expect(presetIntensities('head-plain-solos-free', 4)).toEqual([0, 3, 3, 0]);
    expect(presetIntensities('all-plain', 3)).toEqual([0, 0, 0]);
  });
  it('take two choruses for a head and a solo', () => {
    expect(presetIntensities('rise-and-come-home', 2)).toEqual([0, 3]);
    expect(presetIntensities('head-plain-solos-free', 2)).toEqual([0, 3]);
    expect(presetIntensities('all-plain', 2)).toEqual([0, 0]);
  });
});

describe('choosing spans that do not overlap', () => {
  it('takes the heaviest set', () => {
    const spans = [
      { id: 'a', start: 0, length: 4 },
      { id: 'b', start: 3, length: 2 },
      { id: 'c', start: 5, length: 4 },
    ];
    expect(disjointSpans(spans, (span) => span.length).map((span) => span.id)).toEqual(['a', 'c']);
    expect(
      disjointSpans(spans, (span) => (span.id === 'b' ? 99 : 1)).map((span) => span.id),
    ).toEqual(['b', 'c']);
  });
});
