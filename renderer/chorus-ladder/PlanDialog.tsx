import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Command, Placement } from '../../shared-core/arrangement/model.ts';
import { type ArcPreset, presetIntensities } from '../../shared-core/proposals/arc.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import { deviceLabel } from '../common/devices.ts';
import { Dialog } from '../common/dialog.tsx';
import { newId } from '../common/ids.ts';
import { ErrorNotice, Waiting } from '../common/notice.tsx';
import { useClient } from '../common/shell-context.ts';
import { count } from '../common/words.ts';
import { type Planner, startPlanner } from '../engine/plan-elsewhere.ts';
import type { PlanAnswer, PlanMessage } from '../engine/plan-worker.ts';
import { commandOf } from '../engine/wire.ts';
import { ChangesLine } from '../proposal-bench/ChangesLine.tsx';
import { useTaste } from '../taste/taste-store.ts';
import { type OpenArrangement, useLadder } from './ladder-store.ts';

/** A plan as it can be looked through and taken. */
interface Plan {
  readonly plainShare: number;
  readonly slips: readonly { readonly chorus: number; readonly placement: Placement }[];
}

/** The latest plan, whether it is the one for what is wished now, and what kept a newer one from being made. */
interface Planning {
  readonly plan: Plan | null;
  readonly ready: boolean;
  readonly fault: string | null;
  readonly again: () => void;
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
  const planning = usePlan(arrangement, intensities);
  const take = async () => {
    const { plan } = planning;
    if (!plan) return;
    const commands: Command[] = arrangement.choruses
      .filter((chorus) => chorus.intensity !== intensities[chorus.order])
      .map((chorus) => ({
        kind: 'set-chorus',
        chorus: chorus.id,
        label: chorus.label,
        intensity: intensities[chorus.order] ?? 0,
      }));
    for (const { placement } of plan.slips)
      commands.push({ kind: 'accept', placement: { ...placement, id: newId('p') } });
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
      <PlanOutcome planning={planning} arrangement={arrangement} />
      <div className="dialog-foot">
        <button type="button" onClick={onClose}>
          Leave it
        </button>
        <button
          type="button"
          className="button-main"
          disabled={!planning.ready}
          onClick={() => void take()}
        >
          Take this plan
        </button>
      </div>
    </Dialog>
  );
}

/**
 * What the plan comes to. The last one stays, fading when the next is not there at once, so that nothing jumps
 * while a knob is turned.
 */
function PlanOutcome({
  planning,
  arrangement,
}: {
  readonly planning: Planning;
  readonly arrangement: OpenArrangement;
}) {
  const { plan, ready, fault, again } = planning;
  if (fault !== null) {
    const message = `No plan could be made (${fault}). What you decided is unharmed.`;
    return <ErrorNotice error={{ message }} onAgain={again} />;
  }
  if (!plan) return <Waiting what={WEIGHING} />;
  return (
    <div className="plan-outcome" aria-busy={!ready}>
      {!ready && (
        <p className="plan-weighing" role="status">
          {WEIGHING}
        </p>
      )}
      {plan.slips.length === 0 ? (
        <p className="bench-quiet">At these intensities every free bar stays as written.</p>
      ) : (
        <PlanPreview plan={plan} arrangement={arrangement} />
      )}
    </div>
  );
}

const WEIGHING = 'Weighing the choruses against each other';

function PlanPreview({
  plan,
  arrangement,
}: {
  readonly plan: Plan;
  readonly arrangement: OpenArrangement;
}) {
  const [open, setOpen] = useState(false);
  return (
    <details className="plan-preview" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        {count(plan.slips.length, 'place')} filled; {Math.round(plan.plainShare * 100)} % of the
        held bars stay plain
      </summary>
      {/* Hundreds of chord symbols: drawn for who looks. */}
      {open && <PlanList plan={plan} arrangement={arrangement} />}
    </details>
  );
}

function PlanList({
  plan,
  arrangement,
}: {
  readonly plan: Plan;
  readonly arrangement: OpenArrangement;
}) {
  const { spans, chorus: form } = arrangement.open.analysis;
  return (
    <ul>
      {plan.slips.map(({ chorus, placement }) => {
        const { origin, start, changes, layer } = placement;
        if (origin.kind !== 'proposal') return null;
        const span = spans.find((one) => one.id === origin.span);
        return (
          <li key={`${chorus} ${start}`}>
            <span>
              <b>
                Chorus {chorus + 1}, bar {span?.startBar}: {deviceLabel(origin.device)}
              </b>
              <span className="quiet small"> for the {layer}</span>
            </span>
            <ChangesLine changes={changes} chorus={form} start={start} size={17} />
          </li>
        );
      })}
    </ul>
  );
}

function startIntensities(arrangement: OpenArrangement): readonly number[] {
  const own = arrangement.choruses.map((chorus) => chorus.intensity);
  return own.some((level) => level > 0) ? own : presetIntensities('rise-and-come-home', own.length);
}

/** The plan for these intensities, made beside the window. */
function usePlan(arrangement: OpenArrangement, intensities: readonly number[]): Planning {
  const counts = useTaste((store) => store.taste?.counts);
  const [made, setMade] = useState<{ readonly plan: Plan; readonly wish: PlanMessage } | null>(
    null,
  );
  const [fault, setFault] = useState<string | null>(null);
  const planner = useRef<Planner | null>(null);
  const wish = useMemo<PlanMessage>(
    () => ({
      text: writeTune(arrangement.open.tune),
      state: arrangement.held.wire,
      intensities,
      taste: counts ?? [],
    }),
    [arrangement, intensities, counts],
  );
  useEffect(() => {
    const mine = startPlanner((answer, wish) => setMade({ plan: planOf(answer), wish }), setFault);
    planner.current = mine;
    return mine.close;
  }, []);
  const ask = useCallback(() => {
    setFault(null);
    planner.current?.wish(wish);
  }, [wish]);
  useEffect(ask, [ask]);
  return { plan: made?.plan ?? null, ready: made?.wish === wish, fault, again: ask };
}

function planOf({ plainShare, slips }: PlanAnswer): Plan {
  return {
    plainShare,
    slips: slips.flatMap(({ chorus, command }) => {
      const decoded = commandOf(command);
      return decoded.kind === 'accept' ? [{ chorus, placement: decoded.placement }] : [];
    }),
  };
}
