import {
  type CSSProperties,
  type KeyboardEvent,
  type MouseEvent,
  memo,
  useCallback,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
} from 'react';
import type { Placement } from '../../shared-core/arrangement/model.ts';
import { useBand } from '../band/band-store.ts';
import { tensionsAt } from '../engine/tension.ts';
import { contentsOf } from './content.ts';
import { writtenLabel } from './labels.ts';
import { type OpenArrangement, useLadder } from './ladder-store.ts';
import { Playhead } from './Playhead.tsx';
import { Rung, type RungContent } from './Rung.tsx';
import type { Ruler } from './ruler.ts';
import { useRuler } from './use-ruler.ts';
import { useStandingProposals } from './use-standing-proposals.ts';
import { WrittenRow } from './WrittenRow.tsx';

/** What a key pressed on the ladder asks for beyond moving about. True: it was understood. */
export type LadderKeys = (event: KeyboardEvent) => boolean;

/** The chorus ladder: the written changes over their choruses, all on one ruler. */
export const Ladder = memo(function Ladder({
  arrangement,
  onKey,
}: {
  readonly arrangement: OpenArrangement;
  readonly onKey: LadderKeys;
}) {
  const focus = useLadder((store) => store.focus);
  const moveTo = useLadder((store) => store.moveTo);
  const scroller = useRef<HTMLDivElement>(null);
  const { open, segments, choruses } = arrangement;
  const { chorus } = open.analysis;
  const ruler = useRuler(chorus);
  const contents = useContents(arrangement);
  const tensions = useTensions(arrangement);
  const proposals = useStandingProposals(arrangement, focus.row, focus.column);
  const writtenLabels = useMemo(
    () => segments.map((segment) => writtenLabel(chorus, segment)),
    [segments, chorus],
  );
  useFollowFocus(scroller, focus.row, focus.column, ruler);

  const onKeyDown = (event: KeyboardEvent) => {
    const next = moved(event, focus.row, focus.column, choruses.length, segments);
    if (next) {
      event.preventDefault();
      wantsFocus.current = true;
      moveTo(next);
      return;
    }
    if (onKey(event)) event.preventDefault();
  };
  const onClick = (event: MouseEvent) => {
    const cell = (event.target as Element).closest<HTMLElement>('[data-row]');
    if (!cell) return;
    wantsFocus.current = true;
    moveTo({ row: Number(cell.dataset.row), column: Number(cell.dataset.column) });
    cell.focus({ preventScroll: true });
  };

  return (
    <div className="ladder" ref={scroller}>
      {/* biome-ignore lint/a11y/useSemanticElements: see Cell */}
      <div
        role="grid"
        aria-label={`Chorus ladder of ${open.tune.title}`}
        aria-rowcount={choruses.length + 1}
        aria-colcount={segments.length + 1}
        className="ladder-grid"
        style={{ '--type': ruler.type, '--rung-height': `${ruler.rung / 16}rem` } as CSSProperties}
        onKeyDown={onKeyDown}
        onClick={onClick}
      >
        <WrittenRow
          chorus={chorus}
          segments={segments}
          ruler={ruler}
          focusedColumn={focus.row === 0 ? focus.column : null}
          labels={writtenLabels}
        />
        <BarLines arrangement={arrangement} ruler={ruler} />
        {choruses.map((plan, index) => (
          <Rung
            key={plan.id}
            row={index + 1}
            plan={plan}
            chorus={chorus}
            segments={segments}
            ruler={ruler}
            content={contents.get(plan.id) ?? EMPTY}
            proposals={focus.row === index + 1 ? proposals : null}
            tensions={tensions}
            focusedColumn={focus.row === index + 1 ? focus.column : null}
          />
        ))}
        <Playhead arrangement={arrangement} ruler={ruler} scroller={scroller} />
      </div>
    </div>
  );
});

const EMPTY: RungContent = { bySegment: new Map(), told: new Map(), tail: null };

/** Set while the person acts on the ladder: only then may a moved focus pull the page's focus along. */
const wantsFocus = { current: false };

function useFollowFocus(
  scroller: React.RefObject<HTMLDivElement | null>,
  row: number,
  column: number,
  ruler: Ruler,
): void {
  // biome-ignore lint/correctness/useExhaustiveDependencies: another ruler moves every cell
  useLayoutEffect(() => {
    const cell = document.getElementById(`cell-${row}-${column}`);
    const box = scroller.current;
    if (!cell || !box) return;
    if (wantsFocus.current) {
      wantsFocus.current = false;
      cell.focus({ preventScroll: true });
      // On a small screen ladder and bench lie under one another: who moves on the ladder sees it.
      const { top, bottom } = box.getBoundingClientRect();
      if (top < 0 || bottom > innerHeight) box.scrollIntoView({ block: 'nearest' });
    }
    bringIntoView(box, cell, column);
  }, [scroller, row, column, ruler]);
}

/** Scrolls just far enough, taking the row's head and the written changes, which cover the edges, into account. */
function bringIntoView(box: HTMLElement, cell: HTMLElement, column: number): void {
  const frame = box.getBoundingClientRect();
  const place = cell.getBoundingClientRect();
  const head = box.querySelector('.written')?.getBoundingClientRect();
  const side = box.querySelector('.written-head')?.getBoundingClientRect();
  const top = head?.bottom ?? frame.top;
  const left = side?.right ?? frame.left;
  if (place.top < top) box.scrollTop -= top - place.top + 8;
  else if (place.bottom > frame.bottom - 16) box.scrollTop += place.bottom - frame.bottom + 16;
  if (column === 0) return;
  if (place.left < left) box.scrollLeft -= left - place.left + 24;
  else if (place.right > frame.right) {
    box.scrollLeft += Math.min(place.right - frame.right + 24, place.left - left - 24);
  }
}

/** Where a key takes the focus; null when it does not move. */
function moved(
  event: KeyboardEvent,
  row: number,
  column: number,
  choruses: number,
  segments: OpenArrangement['segments'],
): { row: number; column: number } | null {
  if (event.altKey || event.metaKey) return null;
  const lastColumn = segments.length;
  switch (event.key) {
    case 'ArrowLeft':
      return {
        row,
        column: event.ctrlKey ? nextSpan(segments, column, -1) : Math.max(0, column - 1),
      };
    case 'ArrowRight':
      return {
        row,
        column: event.ctrlKey ? nextSpan(segments, column, 1) : Math.min(lastColumn, column + 1),
      };
    case 'ArrowUp':
      return { row: Math.max(0, row - 1), column };
    case 'ArrowDown':
      return { row: Math.min(choruses, row + 1), column };
    case 'Home':
      return { row: event.ctrlKey ? 0 : row, column: event.ctrlKey ? 0 : 1 };
    case 'End':
      return { row: event.ctrlKey ? choruses : row, column: lastColumn };
    case 'PageUp':
      return { row: Math.max(0, row - 4), column };
    case 'PageDown':
      return { row: Math.min(choruses, row + 4), column };
    default:
      return null;
  }
}

/** Column of the next static span in a direction; stays where there is none. */
function nextSpan(segments: OpenArrangement['segments'], column: number, by: 1 | -1): number {
  for (let at = column + by; at >= 1 && at <= segments.length; at += by) {
    if (segments[at - 1]?.span?.stretch) return at;
  }
  return column;
}

function useContents(arrangement: OpenArrangement): ReadonlyMap<string, RungContent> {
  const before = useRef<ReadonlyMap<string, RungContent>>(new Map());
  const band = useBand((store) => store.band);
  const names = useMemo(
    () => new Map((band?.chairs ?? []).map((chair) => [chair.id, chair.name])),
    [band],
  );
  const { held, choruses, segments, open } = arrangement;
  const { length } = open.analysis.chorus;
  const contents = useMemo(
    () => contentsOf(held.state, choruses, segments, length, names, before.current),
    [held.state, choruses, segments, length, names],
  );
  useEffect(() => {
    before.current = contents;
  }, [contents]);
  return contents;
}

/** Finds the tension of decided changes; the same function as long as the tune is the same. */
function useTensions(arrangement: OpenArrangement): (placement: Placement) => readonly number[] {
  const { analysis } = arrangement.open;
  return useCallback(
    (placement: Placement) => tensionsAt(analysis, placement.start, placement.changes),
    [analysis],
  );
}

/** Bar lines through all rungs, heavier where a section starts. */
const BarLines = memo(function BarLines({
  arrangement,
  ruler,
}: {
  readonly arrangement: OpenArrangement;
  readonly ruler: Ruler;
}) {
  const { chorus } = arrangement.open.analysis;
  return (
    <div className="bar-lines" style={{ width: ruler.width }} aria-hidden="true">
      {chorus.bars.map((bar) => (
        <span
          key={bar.index}
          className={bar.startsSection ? 'bar-line bar-line-section' : 'bar-line'}
          style={{ left: ruler.x(bar.start) }}
        />
      ))}
      <span className="bar-line bar-line-end" style={{ left: ruler.width }} />
    </div>
  );
});
