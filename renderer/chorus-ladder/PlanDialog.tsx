import { useEffect, useState } from 'react';
import type { Command } from '../../shared-core/arrangement/model.ts';
import type { WireCommand } from '../../shared-core/contract/index.ts';
import { type ArcPreset, presetIntensities } from '../../shared-core/proposals/arc.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import { deviceLabel } from '../common/devices.ts';
import { Dialog } from '../common/dialog.tsx';
import { newId } from '../common/ids.ts';
import { Waiting } from '../common/notice.tsx';
import { useClient } from '../common/shell-context.ts';
import { count } from '../common/words.ts';
import type { PlanMessage } from '../engine/plan-worker.ts';
import { commandOf } from '../engine/wire.ts';
import { useTaste } from '../taste/taste-store.ts';
import { type OpenArrangement, useLadder } from './ladder-store.ts';

interface PlannedAnswer {
  readonly plainShare: number;
  readonly slips: readonly {
    readonly chorus: number;
    readonly why: string;
    readonly nextBest: string | null;
    readonly command: Extract<WireCommand, { kind: 'accept' }>;
  }[];
}

const PRESETS: readonly (readonly [ArcPreset, string])[] = [
  ['rise-and-come-home', 'Rise, peak two thirds through, come home'],
  ['head-plain-solos-free', 'Heads plain, solos free'],
  ['all-plain', 'All plain'],
];

/** Shapes all choruses at once: an intensity each, a plan to look through, one decision to take it. */
export function PlanDialog({
  arrangement,
  onClose,
}: {
  readonly arrangement: OpenArrangement;
  readonly onClose: () => void;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const [intensities, setIntensities] = useState(() => startIntensities(arrangement));
  const plan = usePlan(arrangement, intensities);
  const take = async () => {
    if (!plan) return;
    const commands: Command[] = arrangement.choruses
      .filter((chorus) => chorus.intensity !== intensities[chorus.order])
      .map((chorus) => ({
        kind: 'set-chorus',
        chorus: chorus.id,
        label: chorus.label,
        intensity: intensities[chorus.order] ?? 0,
      }));
    for (const slip of plan.slips) commands.push(withOwnId(commandOf(slip.command)));
    const done = await decide(client, { kind: 'batch', label: 'Plan all choruses', commands });
    if (done) onClose();
  };
  return (
    <Dialog title="Plan all choruses" onClose={onClose} wide>
      <p className="quiet">
        What you have kept, written or laid aside stays as it is. The rest is chosen so that
        neighbouring choruses differ and enough held bars stay plain.
      </p>
      <div className="plan-presets">
        {PRESETS.map(([preset, words]) => (
          <button
            key={preset}
            type="button"
            className="button-ruled"
            onClick={() => setIntensities(presetIntensities(preset, intensities.length))}
          >
            {words}
          </button>
        ))}
      </div>
      <div className="plan-levels">
        {arrangement.choruses.map((chorus) => (
          <label key={chorus.id} className="plan-level">
            <span className="figures">
              Chorus {chorus.order + 1}{' '}
              {chorus.label && <span className="quiet small">{chorus.label}</span>}
            </span>
            <input
              type="range"
              min={0}
              max={5}
              step={1}
              value={intensities[chorus.order] ?? 0}
              aria-label={`Intensity of chorus ${chorus.order + 1}`}
              onChange={(event) =>
                setIntensities(
                  intensities.map((level, order) =>
                    order === chorus.order ? Number(event.target.value) : level,
                  ),
                )
              }
            />
            <output className="figures">{intensities[chorus.order] || 'plain'}</output>
          </label>
        ))}
      </div>
      <PlanPreview plan={plan} arrangement={arrangement} />
      <div className="dialog-foot">
        <button type="button" onClick={onClose}>
          Leave it
        </button>
        <button type="button" className="button-main" disabled={!plan} onClick={() => void take()}>
          Take this plan
        </button>
      </div>
    </Dialog>
  );
}

function PlanPreview({
  plan,
  arrangement,
}: {
  readonly plan: PlannedAnswer | null;
  readonly arrangement: OpenArrangement;
}) {
  if (!plan) return <Waiting what="Weighing the choruses against each other" />;
  if (plan.slips.length === 0) {
    return <p className="bench-quiet">At these intensities every free bar stays as written.</p>;
  }
  return (
    <details className="plan-preview">
      <summary>
        {count(plan.slips.length, 'place')} filled; {Math.round(plan.plainShare * 100)} % of the
        held bars stay plain
      </summary>
      <ul>
        {plan.slips.map((slip) => {
          const { origin, start } = slip.command.placement;
          if (origin.kind !== 'proposal') return null;
          const span = arrangement.open.analysis.spans.find((one) => one.id === origin.span);
          return (
            <li key={`${slip.chorus} ${start}`}>
              <b>
                Chorus {slip.chorus + 1}, bar {span?.startBar}: {deviceLabel(origin.device)}
              </b>
              <span className="quiet small"> {slip.why}</span>
            </li>
          );
        })}
      </ul>
    </details>
  );
}

function startIntensities(arrangement: OpenArrangement): readonly number[] {
  const own = arrangement.choruses.map((chorus) => chorus.intensity);
  return own.some((level) => level > 0) ? own : presetIntensities('rise-and-come-home', own.length);
}

function withOwnId(command: Command): Command {
  return command.kind === 'accept'
    ? { ...command, placement: { ...command.placement, id: newId('p') } }
    : command;
}

/** The plan for these intensities, made in a worker; null while it is being made. */
function usePlan(
  arrangement: OpenArrangement,
  intensities: readonly number[],
): PlannedAnswer | null {
  const counts = useTaste((store) => store.taste?.counts);
  const [plan, setPlan] = useState<PlannedAnswer | null>(null);
  useEffect(() => {
    setPlan(null);
    const worker = new Worker(new URL('../engine/plan-worker.ts', import.meta.url), {
      type: 'module',
    });
    worker.onmessage = ({ data }: MessageEvent<PlannedAnswer>) => setPlan(data);
    const message: PlanMessage = {
      text: writeTune(arrangement.open.tune),
      state: arrangement.held.wire,
      intensities,
      taste: counts ?? [],
    };
    worker.postMessage(message);
    return () => worker.terminate();
  }, [arrangement, intensities, counts]);
  return plan;
}
