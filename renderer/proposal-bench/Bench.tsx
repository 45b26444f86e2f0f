import { type KeyboardEvent, memo, useMemo } from 'react';
import type { Band } from '../../shared-core/arrangement/band.ts';
import { focusLadder } from '../chorus-ladder/focus-ladder.ts';
import {
  chorusOfRow,
  type OpenArrangement,
  segmentOfColumn,
  useLadder,
} from '../chorus-ladder/ladder-store.ts';
import { barsWords, type Segment } from '../chorus-ladder/ruler.ts';
import { groundOf, listedProposals, placementsIn, slipAt } from '../chorus-ladder/standing.ts';
import { ChordSymbol } from '../common/ChordSymbol.tsx';
import { count } from '../common/words.ts';
import { useTaste } from '../taste/taste-store.ts';
import type { Place } from './actions.ts';
import { ChorusPanel } from './ChorusPanel.tsx';
import { Decided } from './Decided.tsx';
import { Directions } from './Directions.tsx';
import { HandEdit } from './HandEdit.tsx';
import { History } from './History.tsx';
import { Plainer } from './Plainer.tsx';
import { type BenchKeys, ProposalList } from './ProposalList.tsx';
import { placeWords } from './place-words.ts';
import { WrittenPanel } from './WrittenPanel.tsx';

/** What the bench shows below its head. */
export type BenchView = 'proposals' | 'hand' | 'history';

/** Beside the ladder: what can be done at the place the person stands. */
export const Bench = memo(function Bench({
  arrangement,
  band,
  view,
  onView,
  onKey,
}: {
  readonly arrangement: OpenArrangement;
  readonly band: Band | null;
  readonly view: BenchView;
  readonly onView: (view: BenchView) => void;
  /** The ladder's keys, which work among the proposals too. */
  readonly onKey: BenchKeys;
}) {
  const focus = useLadder((store) => store.focus);
  const chorus = chorusOfRow(arrangement, focus.row);
  const segment = segmentOfColumn(arrangement, focus.column);
  const place = usePlace(arrangement, focus.row, segment);
  return (
    <aside className="bench" aria-label="Bench">
      <BenchHead arrangement={arrangement} row={focus.row} segment={segment} />
      <BenchTabs view={view} onView={onView} />
      <div
        className="bench-body"
        key={`${view} ${focus.row} ${focus.column}`}
        role="tabpanel"
        id="bench-panel"
        aria-labelledby={`bench-tab-${view}`}
      >
        {view === 'history' && <History arrangement={arrangement} />}
        {view !== 'history' && !chorus && (
          <>
            <Plainer arrangement={arrangement} segment={segment} chorus={null} />
            <WrittenPanel arrangement={arrangement} segment={segment} />
          </>
        )}
        {view !== 'history' && chorus && !segment && (
          <ChorusPanel key={chorus.id} arrangement={arrangement} plan={chorus} band={band} />
        )}
        {view === 'proposals' && place && (
          <>
            <Decided place={place} />
            <Plainer arrangement={arrangement} segment={place.segment} chorus={place.chorus.id} />
            <ProposalList place={place} onKey={onKey} />
          </>
        )}
        {view === 'hand' && place && (
          <>
            <HandEdit
              key={`${place.chorus.id} ${place.segment.id}`}
              place={place}
              onDone={() => {
                onView('proposals');
                focusLadder(focus);
              }}
            />
            <Directions
              arrangement={arrangement}
              chorus={place.chorus.id}
              start={place.segment.start}
              length={place.segment.length}
              band={band}
            />
          </>
        )}
      </div>
    </aside>
  );
});

/** The place with what can be decided there; null on the written row and on a row's head. */
function usePlace(
  arrangement: OpenArrangement,
  row: number,
  segment: Segment | null,
): Place | null {
  const chosen = useLadder((store) => store.chosen);
  const filter = useLadder((store) => store.filter);
  const taste = useTaste((store) => store.taste);
  return useMemo(() => {
    const chorus = chorusOfRow(arrangement, row);
    if (!chorus || !segment) return null;
    const proposals = listedProposals(groundOf(arrangement, taste), chorus, segment, filter);
    return {
      arrangement,
      chorus,
      segment,
      proposals,
      chosen: slipAt(arrangement, chorus.id, segment, proposals, chosen),
      placements: placementsIn(arrangement, chorus.id, segment),
    };
  }, [arrangement, row, segment, chosen, filter, taste]);
}

function BenchHead({
  arrangement,
  row,
  segment,
}: {
  readonly arrangement: OpenArrangement;
  readonly row: number;
  readonly segment: Segment | null;
}) {
  const { chorus, chords } = arrangement.open.analysis;
  const plan = chorusOfRow(arrangement, row);
  const where = plan ? `Chorus ${plan.order + 1}` : 'As written';
  const span = segment?.span ?? null;
  const next = span?.next === null || !span ? null : chords[span.next];
  return (
    <header className="bench-head" aria-live="polite">
      <p className="bench-where">
        {where}
        {segment && `, ${barsWords(chorus, segment.start, span?.length ?? segment.length)}`}
        {span && (
          <span className="quiet small" title={placeWords(span)}>
            {' '}
            {placeWords(span)}
          </span>
        )}
      </p>
      {span && (
        <p className="bench-span">
          <ChordSymbol harmony={span.harmony} size={26} />
          <span className="quiet">
            for {count(span.beats, 'beat')}
            {next && (
              <>
                , then <ChordSymbol harmony={next.harmony} size={16} />
              </>
            )}
          </span>
        </p>
      )}
    </header>
  );
}

function BenchTabs({
  view,
  onView,
}: {
  readonly view: BenchView;
  readonly onView: (view: BenchView) => void;
}) {
  const tabs: readonly (readonly [BenchView, string])[] = [
    ['proposals', 'Proposals'],
    ['hand', 'By hand'],
    ['history', 'History'],
  ];
  const onKey = (event: KeyboardEvent) => {
    const by = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    const at = tabs.findIndex(([id]) => id === view);
    const next = tabs[(at + by + tabs.length) % tabs.length];
    if (by === 0 || !next) return;
    event.preventDefault();
    onView(next[0]);
    document.getElementById(`bench-tab-${next[0]}`)?.focus();
  };
  return (
    <div className="bench-tabs" role="tablist" aria-label="Bench" onKeyDown={onKey}>
      {tabs.map(([id, label]) => (
        <button
          key={id}
          type="button"
          role="tab"
          id={`bench-tab-${id}`}
          aria-controls="bench-panel"
          aria-selected={view === id}
          tabIndex={view === id ? 0 : -1}
          onClick={() => onView(id)}
        >
          {label}
        </button>
      ))}
    </div>
  );
}
