import { memo } from 'react';
import type { ChorusPlan, Placement } from '../../shared-core/arrangement/model.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import type { Chorus } from '../../shared-core/tune/model.ts';
import { Cell } from './Cell.tsx';
import { cellLabel, rungName } from './labels.ts';
import type { Ruler, Segment } from './ruler.ts';
import { standsIn } from './standing.ts';

const NONE: readonly Placement[] = [];

/** What stands in one chorus, by the segment it starts in. */
export interface RungContent {
  readonly bySegment: ReadonlyMap<string, readonly Placement[]>;
  /** What chairs are told, by the segment it starts in. */
  readonly told: ReadonlyMap<string, string>;
  /** What the chorus before sends over the form's end. */
  readonly tail: Placement | null;
}

/** One chorus: a rung on the shared ruler with the slips that lie on it. */
export const Rung = memo(function Rung({
  row,
  plan,
  chorus,
  segments,
  ruler,
  content,
  proposals,
  tensions,
  focusedColumn,
}: {
  readonly row: number;
  readonly plan: ChorusPlan;
  readonly chorus: Chorus;
  readonly segments: readonly Segment[];
  readonly ruler: Ruler;
  readonly content: RungContent;
  /** Slips to be kept or laid aside, by segment; only in the chorus the person stands in. */
  readonly proposals: ReadonlyMap<string, Proposal> | null;
  readonly tensions: (placement: Placement) => readonly number[];
  readonly focusedColumn: number | null;
}) {
  const { bySegment, told, tail } = content;
  const standing = [...bySegment.values()].flat();
  return (
    // biome-ignore lint/a11y/useSemanticElements: see Cell
    // biome-ignore lint/a11y/useFocusableInteractive: its cells take the focus
    <div
      role="row"
      className={focusedColumn === null ? 'rung' : 'rung rung-here'}
      aria-rowindex={row + 1}
    >
      {/* biome-ignore lint/a11y/useSemanticElements: see Cell */}
      <div
        role="rowheader"
        id={`cell-${row}-0`}
        data-row={row}
        data-column={0}
        tabIndex={focusedColumn === 0 ? 0 : -1}
        aria-colindex={1}
        aria-label={rungName(plan)}
        className="row-head"
      >
        <span className="row-number figures">{plan.order + 1}</span>
        <Intensity level={plan.intensity} />
        {plan.label && <span className="row-words">{plan.label}</span>}
      </div>
      <div className="rung-bars" style={{ width: ruler.width }}>
        {segments.map((segment, index) => {
          const placements = bySegment.get(segment.id) ?? NONE;
          const tailHere = index === 0 ? tail : null;
          // A rewrite that began in a cell before may reach into this one.
          const decided = standing.some((placement) => standsIn(placement, segment));
          const proposal = decided ? null : (proposals?.get(segment.id) ?? null);
          return (
            <Cell
              key={segment.id}
              row={row}
              column={index + 1}
              segment={segment}
              ruler={ruler}
              placements={placements}
              tail={tailHere}
              chorusLength={chorus.length}
              proposal={proposal}
              tensions={tensions}
              focused={focusedColumn === index + 1}
              told={told.get(segment.id) ?? null}
              label={cellLabel(chorus, plan, segment, placements, proposal, told.get(segment.id))}
            />
          );
        })}
      </div>
    </div>
  );
});

/** Intensity of the chorus, 0-5, as strokes of growing height. */
function Intensity({ level }: { readonly level: number }) {
  if (level === 0) return null;
  return (
    <svg className="intensity" viewBox="0 0 22 14" aria-hidden="true">
      {[1, 2, 3, 4, 5].map((step) => (
        <path
          key={step}
          d={`M${step * 4 - 2} 13v${step <= level ? -step * 2.4 : -1}`}
          className={step <= level ? 'intensity-on' : 'intensity-off'}
        />
      ))}
    </svg>
  );
}
