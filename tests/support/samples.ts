import { readdirSync, readFileSync } from 'node:fs';
import type { Analysis } from '../../shared-core/analysis/model.ts';
import type { Band } from '../../shared-core/arrangement/band.ts';
import { chorusesInOrder, emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type { ArrangementState, Placement } from '../../shared-core/arrangement/model.ts';
import { placementOf, usualLayer } from '../../shared-core/arrangement/placement.ts';
import { disjointSpans, planArc } from '../../shared-core/proposals/arc.ts';
import { propose } from '../../shared-core/proposals/propose.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';

/** The sample library with an arrangement of each tune, for tests of everything that comes after. */

/** A sample tune arranged for five choruses. */
export interface Sample {
  readonly name: string;
  readonly tune: Tune;
  readonly analysis: Analysis;
  readonly state: ArrangementState;
}

const FOLDER = new URL('../../sample-library/', import.meta.url);

/** The sample band. */
export const SAMPLE_BAND = JSON.parse(readFileSync(new URL('band.json', FOLDER), 'utf8')) as Band;

/** Names of the sample tunes. */
export function sampleNames(): readonly string[] {
  return readdirSync(FOLDER)
    .filter((name) => name.endsWith('.tune'))
    .map((name) => name.replace('.tune', ''))
    .sort();
}

/** Reads, understands and arranges one sample tune. */
export function sample(name: string): Sample {
  const { tune, errors } = readTune(readFileSync(new URL(`${name}.tune`, FOLDER), 'utf8'));
  if (!tune || errors.length > 0) throw new Error(`${name}: ${JSON.stringify(errors)}`);
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(`${name}: ${JSON.stringify(analysis.error)}`);
  return { name, tune, analysis: analysis.value, state: arranged(tune, analysis.value) };
}

const LABELS = ['Head', 'Tenor solo', 'Tenor solo', 'Trumpet solo', 'Head out'];
const INTENSITIES = [0, 2, 4, 5, 0];

function arranged(tune: Tune, analysis: Analysis): ArrangementState {
  const empty = emptyArrangement('Club version', LABELS.length);
  const plans = chorusesInOrder(empty);
  const candidates = propose(analysis, { tempo: tune.tempo });
  const arc = planArc({
    spans: disjointSpans(analysis.spans, (span) => span.length),
    choruses: INTENSITIES.map((intensity) => ({ intensity, candidates })),
  });
  if (!arc.ok) throw new Error(JSON.stringify(arc.error));
  const placements = arc.value.choices.flatMap(({ chorus, proposal }, index): Placement[] => {
    const plan = plans[chorus];
    if (!plan || proposal === null || proposal === 'hand') return [];
    return [placementOf(proposal, plan.id, usualLayer(proposal), `p${index}`)];
  });
  return {
    ...empty,
    choruses: Object.fromEntries(
      plans.map((plan) => [plan.id, { ...plan, label: LABELS[plan.order] ?? null }]),
    ),
    placements: Object.fromEntries(placements.map((placement) => [placement.id, placement])),
  };
}
