import { memo } from 'react';
import type { Chorus, TimedHarmony } from '../../shared-core/tune/model.ts';
import { ChordSymbol, symbolWidth } from '../common/ChordSymbol.tsx';
import { useChordView } from '../common/chord-view.ts';
import { setAlong } from '../common/set-along.ts';
import type { Ruler, Segment } from './ruler.ts';

/** The written changes: once, at the top, always in sight, on the ruler every rung shares. */
export const WrittenRow = memo(function WrittenRow({
  chorus,
  segments,
  ruler,
  focusedColumn,
  labels,
}: {
  readonly chorus: Chorus;
  readonly segments: readonly Segment[];
  readonly ruler: Ruler;
  /** Column focused in this row; null when the person stands elsewhere. */
  readonly focusedColumn: number | null;
  readonly labels: readonly string[];
}) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: see Cell
    // biome-ignore lint/a11y/useFocusableInteractive: its cells take the focus
    <div role="row" className="written" aria-rowindex={1}>
      {/* biome-ignore lint/a11y/useSemanticElements: see Cell */}
      <div
        role="rowheader"
        id="cell-0-0"
        data-row={0}
        data-column={0}
        tabIndex={focusedColumn === 0 ? 0 : -1}
        aria-colindex={1}
        className="row-head written-head"
      >
        As written
      </div>
      <div className="written-bars" style={{ width: ruler.width }}>
        <RulerMarks chorus={chorus} ruler={ruler} />
        {segments.map((segment, index) => (
          // biome-ignore lint/a11y/useSemanticElements: see Cell
          <div
            key={segment.id}
            role="gridcell"
            id={`cell-0-${index + 1}`}
            data-row={0}
            data-column={index + 1}
            tabIndex={focusedColumn === index + 1 ? 0 : -1}
            aria-selected={focusedColumn === index + 1}
            aria-label={labels[index]}
            aria-colindex={index + 2}
            className={segment.span?.stretch ? 'written-cell written-span' : 'written-cell'}
            style={{
              left: ruler.x(segment.start),
              width: ruler.x(segment.start + segment.length) - ruler.x(segment.start),
            }}
          >
            <WrittenChords chorus={chorus} segment={segment} ruler={ruler} />
          </div>
        ))}
      </div>
    </div>
  );
});

/** Bar numbers and the letters of the sections. */
function RulerMarks({ chorus, ruler }: { readonly chorus: Chorus; readonly ruler: Ruler }) {
  return (
    <div className="ruler" aria-hidden="true">
      {chorus.bars.map((bar) => (
        <span
          key={bar.index}
          className={bar.startsSection ? 'ruler-bar ruler-section' : 'ruler-bar'}
          style={{ left: ruler.x(bar.start) }}
        >
          {bar.startsSection && <b className="ruler-letter">{bar.label}</b>}
          <span className="figures">{bar.number > 0 ? bar.number : ''}</span>
        </span>
      ))}
    </div>
  );
}

/** Size of the written symbols, and the room between two of them, px of a usual screen. */
export const WRITTEN_SIZE = 24;
const GAP = 9;

function WrittenChords({
  chorus,
  segment,
  ruler,
}: {
  readonly chorus: Chorus;
  readonly segment: Segment;
  readonly ruler: Ruler;
}) {
  const view = useChordView();
  const size = WRITTEN_SIZE * ruler.type;
  const events = segment.span
    ? heldEvents(chorus, segment)
    : chorus.harmony.filter((event) => startsIn(event, segment));
  const left = ruler.x(segment.start);
  const setting = setAlong(
    events.map((event) => ({
      x: ruler.x(event.start) - left,
      width: symbolWidth(event.harmony, view, size) + GAP * ruler.type * view.scale,
    })),
    ruler.x(segment.start + segment.length) - left,
  );
  return events.map((event, index) => (
    <span
      key={event.start}
      className="written-chord"
      style={{ left: setting.xs[index] }}
      aria-hidden="true"
    >
      <ChordSymbol
        harmony={event.harmony}
        size={size * setting.scale}
        condense={setting.condense}
      />
    </span>
  ));
}

function startsIn(event: TimedHarmony, segment: Segment): boolean {
  return event.start >= segment.start && event.start < segment.start + segment.length;
}

/** A held span says its chord once, however often the page repeats it. */
function heldEvents(chorus: Chorus, segment: Segment): readonly TimedHarmony[] {
  const first = chorus.harmony.find(
    (event) => event.start <= segment.start && event.start + event.length > segment.start,
  );
  return first ? [{ ...first, start: segment.start, length: segment.length }] : [];
}
