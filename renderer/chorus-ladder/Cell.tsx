import { memo } from 'react';
import type { Placement } from '../../shared-core/arrangement/model.ts';
import type { Change } from '../../shared-core/devices/model.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import { ChordSymbol, symbolWidth } from '../common/ChordSymbol.tsx';
import { useChordView } from '../common/chord-view.ts';
import { setAlong } from '../common/set-along.ts';
import { Contour } from './Contour.tsx';
import type { Ruler, Segment } from './ruler.ts';

/** Everything one cell of a rung is drawn from; equal props draw nothing again. */
export interface CellProps {
  readonly row: number;
  readonly column: number;
  readonly segment: Segment;
  readonly ruler: Ruler;
  /** What stands here: decided changes that start in this cell, band first. */
  readonly placements: readonly Placement[];
  /** Decided changes of the chorus before that run over the form's end into this cell. */
  readonly tail: Placement | null;
  readonly chorusLength: Ticks;
  /** The slip that lies here to be kept or laid aside. */
  readonly proposal: Proposal | null;
  readonly tensions: (placement: Placement) => readonly number[];
  readonly focused: boolean;
  /** What chairs are told from here on; null for nothing. */
  readonly told: string | null;
  readonly label: string;
}

/** One stretch of one chorus. */
export const Cell = memo(function Cell(props: CellProps) {
  const { segment, ruler, placements, tail, proposal, focused, row, column } = props;
  const left = ruler.x(segment.start);
  const width = ruler.x(segment.start + segment.length) - left;
  const replaced = placements.some((placement) => placement.layer === 'band');
  return (
    // biome-ignore lint/a11y/useSemanticElements: a table row cannot hold cells placed by musical time
    <div
      role="gridcell"
      id={`cell-${row}-${column}`}
      data-row={row}
      data-column={column}
      tabIndex={focused ? 0 : -1}
      aria-selected={focused}
      aria-label={props.label}
      aria-colindex={column + 1}
      className={segment.span ? 'cell cell-span' : 'cell'}
      style={{ left, width }}
    >
      {segment.span?.stretch && !replaced && <span className="cell-held" aria-hidden="true" />}
      {props.told && (
        <span className="cell-told" aria-hidden="true">
          {props.told}
        </span>
      )}
      {tail && (
        <Slip
          kind={tail.layer === 'band' ? 'band' : 'soloist'}
          hand={tail.origin.kind === 'hand'}
          start={tail.start - props.chorusLength}
          from={0}
          origin={segment.start}
          changes={tail.changes}
          tension={props.tensions(tail)}
          ruler={ruler}
        />
      )}
      {placements.map((placement) => (
        <Slip
          key={placement.id}
          kind={placement.layer === 'band' ? 'band' : 'soloist'}
          hand={placement.origin.kind === 'hand'}
          start={placement.start}
          from={placement.start}
          origin={segment.start}
          until={props.chorusLength}
          changes={placement.changes}
          tension={props.tensions(placement)}
          ruler={ruler}
        />
      ))}
      {proposal && (
        <Slip
          kind="proposed"
          hand={false}
          start={proposal.start}
          from={proposal.start}
          origin={segment.start}
          until={props.chorusLength}
          changes={proposal.changes}
          tension={proposal.tension}
          ruler={ruler}
        />
      )}
    </div>
  );
}, sameCell);

function sameCell(a: CellProps, b: CellProps): boolean {
  return (
    a.segment === b.segment &&
    a.ruler === b.ruler &&
    a.tail === b.tail &&
    a.proposal === b.proposal &&
    a.tensions === b.tensions &&
    a.focused === b.focused &&
    a.told === b.told &&
    a.label === b.label &&
    a.row === b.row &&
    a.column === b.column &&
    a.placements.length === b.placements.length &&
    a.placements.every((placement, index) => placement === b.placements[index])
  );
}

interface SlipProps {
  readonly kind: 'proposed' | 'band' | 'soloist';
  readonly hand: boolean;
  /** Chorus tick at which the changes begin; negative for what began in the chorus before. */
  readonly start: Ticks;
  /** Chorus tick from which the slip is drawn. */
  readonly from: Ticks;
  /** Chorus tick of the cell's left edge. */
  readonly origin: Ticks;
  /** Chorus tick at which the slip is cut; it goes on in the next chorus. */
  readonly until?: Ticks;
  readonly changes: readonly Change[];
  readonly tension: readonly number[] | null;
  readonly ruler: Ruler;
}

/** Px between two symbols on a slip, and before the first. */
const SLIP_GAP = 9;

/** A slip of paper with changes written on it. Its place against the rung says who plays it. */
function Slip({ kind, hand, start, from, origin, until, changes, tension, ruler }: SlipProps) {
  const view = useChordView();
  const last = changes.at(-1);
  if (!last) return null;
  const whole = start + last.at + last.length;
  const end = until === undefined ? whole : Math.min(whole, until);
  const left = ruler.x(from) - ruler.x(origin);
  const width = ruler.x(end) - ruler.x(from);
  const classes = ['slip', `slip-${kind}`];
  if (hand) classes.push('slip-hand');
  if (end < whole) classes.push('slip-goes-on');
  if (from > start) classes.push('slip-comes-in');
  const shown = changes
    .map((change, index) => ({ change, index }))
    .filter(({ change }) => start + change.at < end && start + change.at + change.length > from);
  const size = (kind === 'band' ? 19 : 16) * ruler.type;
  const setting = setAlong(
    shown.map(({ change }) => ({
      x: ruler.x(Math.max(start + change.at, from)) - ruler.x(from),
      width: symbolWidth(change.harmony, view, size) + SLIP_GAP * ruler.type * view.scale,
    })),
    width - (kind === 'band' ? 8 : 2),
  );
  return (
    <div className={classes.join(' ')} style={{ left, width }} aria-hidden="true">
      {tension && (
        <Contour
          width={width}
          height={ruler.contour}
          points={shown.map(({ change, index }) => ({
            x: ruler.x(Math.max(start + change.at, from)) - ruler.x(from),
            level: tension[index] ?? 0,
          }))}
        />
      )}
      {shown.slice(1).map(({ change }) => (
        <span
          key={`at ${change.at}`}
          className="slip-time"
          style={{ left: ruler.x(start + change.at) - ruler.x(from) }}
        />
      ))}
      {shown.map(({ change }, place) => (
        <span key={change.at} className="slip-change" style={{ left: setting.xs[place] }}>
          <ChordSymbol
            harmony={change.harmony}
            size={size * setting.scale}
            condense={setting.condense}
          />
        </span>
      ))}
    </div>
  );
}
