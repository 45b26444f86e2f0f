import { useEffect, useRef } from 'react';
import type { DeviceName } from '../../shared-core/analysis/model.ts';
import { usualLayer } from '../../shared-core/arrangement/placement.ts';
import type { Carrier, DeviceDegree } from '../../shared-core/devices/model.ts';
import { nameOf } from '../../shared-core/pitch/spelled.ts';
import type { Proposal, Verdict } from '../../shared-core/proposals/model.ts';
import { type Filter, useLadder } from '../chorus-ladder/ladder-store.ts';
import { groundOf, listedProposals } from '../chorus-ladder/standing.ts';
import { useChordView } from '../common/chord-view.ts';
import { deviceLabel } from '../common/devices.ts';
import { useClient } from '../common/shell-context.ts';
import { count, withSigns } from '../common/words.ts';
import { useTaste } from '../taste/taste-store.ts';
import { hearAfter, hearBefore } from '../transport/hear.ts';
import { keep, layAside, otherLayer, type Place } from './actions.ts';
import { ChangesLine } from './ChangesLine.tsx';
import { Figures } from './Figures.tsx';

const ALL: Filter = { device: null, carrier: null, laidAside: true };

/** The slips for one held bar: choose, hear, keep, lay aside. */
export function ProposalList({ place }: { readonly place: Place }) {
  const filter = useLadder((store) => store.filter);
  const taste = useTaste((store) => store.taste);
  if (!place.segment.span) {
    return (
      <p className="bench-quiet">
        These bars move by themselves. Write changes for them by hand, or stand on a held bar to see
        what is proposed.
      </p>
    );
  }
  const everything = listedProposals(
    groundOf(place.arrangement, taste),
    place.chorus,
    place.segment,
    ALL,
  );
  const { rejections } = place.arrangement.held.state;
  const aside = everything.filter(
    (proposal) => rejections[`${place.chorus.id}:${proposal.id}`] !== undefined,
  ).length;
  return (
    <section className="proposals" aria-label="Proposals">
      <Filters all={everything} filter={filter} aside={aside} />
      {place.proposals.length === 0 && <NoProposals everything={everything.length} />}
      <ul className="proposal-list">
        {place.proposals.map((proposal) => (
          <li key={proposal.id}>
            {proposal === place.chosen ? (
              <ChosenProposal place={place} proposal={proposal} />
            ) : (
              <OtherProposal place={place} proposal={proposal} />
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function NoProposals({ everything }: { readonly everything: number }) {
  const setFilter = useLadder((store) => store.setFilter);
  if (everything === 0) {
    return (
      <p className="bench-quiet">
        Nothing fits here without getting in the way of the melody. You can still write changes by
        hand.
      </p>
    );
  }
  return (
    <div className="bench-quiet">
      <p>{count(everything, 'proposal')} for this bar, none of the kind you asked for.</p>
      <button
        type="button"
        className="button-ruled"
        onClick={() => setFilter({ device: null, carrier: null, laidAside: true })}
      >
        Show all of them
      </button>
    </div>
  );
}

function Filters({
  all,
  filter,
  aside,
}: {
  readonly all: readonly Proposal[];
  readonly filter: Filter;
  /** Proposals of this list that were laid aside here. */
  readonly aside: number;
}) {
  const setFilter = useLadder((store) => store.setFilter);
  const devices = [...new Set(all.map((proposal) => proposal.device))];
  return (
    <div className="filters">
      <select
        aria-label="Device"
        value={filter.device ?? ''}
        onChange={(event) =>
          setFilter({ device: event.target.value ? (event.target.value as DeviceName) : null })
        }
      >
        <option value="">Every device</option>
        {devices.map((device) => (
          <option key={device} value={device}>
            {deviceLabel(device)}
          </option>
        ))}
      </select>
      <select
        aria-label="Played by"
        value={filter.carrier ?? ''}
        onChange={(event) =>
          setFilter({ carrier: event.target.value ? (event.target.value as Carrier) : null })
        }
      >
        <option value="">Played by anyone</option>
        <option value="band">The band can play it</option>
        <option value="soloist">The soloist can play it</option>
      </select>
      {(aside > 0 || filter.laidAside) && (
        <label className="check small">
          <input
            type="checkbox"
            checked={filter.laidAside}
            onChange={(event) => setFilter({ laidAside: event.target.checked })}
          />
          Show {aside} laid aside
        </label>
      )}
    </div>
  );
}

function OtherProposal({
  place,
  proposal,
}: {
  readonly place: Place;
  readonly proposal: Proposal;
}) {
  const choose = useLadder((store) => store.choose);
  return (
    <button type="button" className="proposal" onClick={() => choose(proposal.id)}>
      <ProposalSlip place={place} proposal={proposal} />
    </button>
  );
}

function ProposalSlip({ place, proposal }: { readonly place: Place; readonly proposal: Proposal }) {
  return (
    <>
      <span className="proposal-name">
        {deviceLabel(proposal.device)}
        <span className="quiet"> {DEGREES[proposal.degree]}</span>
      </span>
      <ChangesLine
        changes={proposal.changes}
        chorus={place.arrangement.open.analysis.chorus}
        start={proposal.start}
      />
    </>
  );
}

const DEGREES: Readonly<Record<DeviceDegree, string>> = {
  note: 'one note',
  triad: 'triads',
  seventh: 'sevenths',
  full: 'with its two',
};

const VERDICTS: Readonly<Record<Verdict, string>> = {
  'fine over the top': 'Fine over the top',
  'tell the rhythm section': 'Tell the rhythm section',
  'the band must follow': 'The band must follow',
};

/** Brings a card into sight within the bench alone: the page, and the ladder on it, stay where they are. */
function showInBench(card: HTMLElement | null): void {
  const body = card?.closest<HTMLElement>('.bench-body');
  if (!card || !body) return;
  const frame = body.getBoundingClientRect();
  const place = card.getBoundingClientRect();
  if (place.top < frame.top) body.scrollTop -= frame.top - place.top + 12;
  else if (place.bottom > frame.bottom) {
    body.scrollTop += Math.min(place.bottom - frame.bottom, place.top - frame.top) + 12;
  }
}

function ChosenProposal({
  place,
  proposal,
}: {
  readonly place: Place;
  readonly proposal: Proposal;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const view = useChordView();
  const card = useRef<HTMLElement>(null);
  const rejection = `${place.chorus.id}:${proposal.id}`;
  const laidAside = place.arrangement.held.state.rejections[rejection] !== undefined;
  const usual = usualLayer(proposal);
  const other = otherLayer(proposal);
  // biome-ignore lint/correctness/useExhaustiveDependencies: scrolls when another slip is chosen
  useEffect(() => {
    if (useLadder.getState().chosen !== null) showInBench(card.current);
  }, [proposal.id]);
  return (
    <article className="proposal proposal-chosen" ref={card} aria-current="true">
      <ProposalSlip place={place} proposal={proposal} />
      <p className={`verdict verdict-${usual}`}>{VERDICTS[proposal.verdict]}.</p>
      <p>
        {view.chairName && <span className="quiet">At concert pitch: </span>}
        {withSigns(proposal.reason)}
      </p>
      {proposal.tells !== null && (
        <p className="tells">
          <span className="quiet">Tells</span>{' '}
          <b>{withSigns(nameOf(view.readNote(proposal.tells)))}</b>
          {proposal.home !== null && (
            <>
              <span className="quiet">, goes home to</span>{' '}
              <b>{withSigns(nameOf(view.readNote(proposal.home)))}</b>
            </>
          )}
        </p>
      )}
      <div className="proposal-hear">
        <button type="button" className="button-ruled" onClick={() => hearBefore()}>
          Before <kbd>B</kbd>
        </button>
        <button type="button" className="button-ruled" onClick={() => hearAfter()}>
          After <kbd>A</kbd>
        </button>
      </div>
      <div className="proposal-decide">
        <button type="button" className="button-main" onClick={() => void keep(client, usual)}>
          {usual === 'band' ? 'Keep for the band' : 'Keep for the soloist'} <kbd>Enter</kbd>
        </button>
        <button type="button" onClick={() => void keep(client, other)}>
          {other === 'band' ? 'Keep for the band' : 'Keep for the soloist'} <kbd>O</kbd>
        </button>
        {laidAside ? (
          <button
            type="button"
            onClick={() => void decide(client, { kind: 'unreject', rejection })}
          >
            Take up again
          </button>
        ) : (
          place.placements.length === 0 && (
            <button type="button" onClick={() => void layAside(client)}>
              Lay aside <kbd>X</kbd>
            </button>
          )
        )}
      </div>
      <Figures proposal={proposal} />
    </article>
  );
}
