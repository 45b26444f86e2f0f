import { type ReactNode, useEffect, useId, useRef, useState } from 'react';
import { usualLayer } from '../../shared-core/arrangement/placement.ts';
import { nameOf } from '../../shared-core/pitch/spelled.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { spokenChanges } from '../chorus-ladder/labels.ts';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { useChordView } from '../common/chord-view.ts';
import { DEGREE_WORDS, deviceLabel } from '../common/devices.ts';
import { useClient } from '../common/shell-context.ts';
import { withSigns } from '../common/words.ts';
import { hearAfter, hearBefore } from '../transport/hear.ts';
import { keep, layAside, otherLayer, type Place } from './actions.ts';
import { Figures } from './Figures.tsx';
import { SlipChanges } from './SlipChanges.tsx';
import { verdictWords } from './verdict-words.ts';

/** The chosen slip with everything that can be done with it. */
export function ProposalCard({
  place,
  proposal,
  ways,
}: {
  readonly place: Place;
  readonly proposal: Proposal;
  /** How many other ways stand behind this one; leaves room for their button. */
  readonly ways: number;
}) {
  const card = useRef<HTMLElement>(null);
  const usual = usualLayer(proposal);
  const view = useChordView();
  const [why, setWhy] = useState(false);
  const figures = useId();
  // biome-ignore lint/correctness/useExhaustiveDependencies: scrolls when another slip is chosen
  useEffect(() => {
    if (useLadder.getState().chosen !== null) showInBench(card.current);
  }, [proposal.id]);
  return (
    <article
      className={
        ways > 0 ? 'proposal proposal-chosen proposal-has-ways' : 'proposal proposal-chosen'
      }
      ref={card}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the card is where the arrow keys of the list stand
      tabIndex={0}
      aria-current="true"
      aria-label={`${deviceLabel(proposal.device)}, ${DEGREE_WORDS[proposal.degree]}: ${spokenChanges(proposal.changes)}. ${verdictWords(proposal)}`}
    >
      <p className="proposal-name">
        {deviceLabel(proposal.device)}{' '}
        {proposal.degree !== 'note' && (
          <span className="quiet small">{DEGREE_WORDS[proposal.degree]}</span>
        )}
      </p>
      <SlipChanges place={place} proposal={proposal} />
      <p className="proposal-judged">
        <span className={`verdict verdict-${usual}`}>{verdictWords(proposal)}</span>
        <Tells proposal={proposal} />
      </p>
      <p className={why ? 'reason' : 'reason reason-line'}>
        {view.chairName && <span className="quiet">At concert pitch: </span>}
        {withSigns(proposal.reason)}
      </p>
      <Decide place={place} proposal={proposal}>
        <button
          type="button"
          aria-expanded={why}
          aria-controls={figures}
          onClick={() => setWhy(!why)}
        >
          Why this one
        </button>
      </Decide>
      {why && <Figures proposal={proposal} id={figures} />}
    </article>
  );
}

function Tells({ proposal }: { readonly proposal: Proposal }) {
  const view = useChordView();
  if (proposal.tells === null) return null;
  return (
    <span className="small">
      <span className="quiet">Tells</span> <b>{withSigns(nameOf(view.readNote(proposal.tells)))}</b>
      {proposal.home !== null && (
        <>
          <span className="quiet">, home to</span>{' '}
          <b>{withSigns(nameOf(view.readNote(proposal.home)))}</b>
        </>
      )}
    </span>
  );
}

function Decide({
  place,
  proposal,
  children,
}: {
  readonly place: Place;
  readonly proposal: Proposal;
  readonly children: ReactNode;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const rejection = `${place.chorus.id}:${proposal.id}`;
  const laidAside = place.arrangement.held.state.rejections[rejection] !== undefined;
  const usual = usualLayer(proposal);
  const other = otherLayer(proposal);
  return (
    <>
      <div className="proposal-tools">
        <button type="button" className="button-ruled" onClick={() => hearBefore()}>
          Before <kbd>B</kbd>
        </button>
        <button type="button" className="button-ruled" onClick={() => hearAfter()}>
          After <kbd>A</kbd>
        </button>
        <button type="button" className="button-main" onClick={() => void keep(client, usual)}>
          {usual === 'band' ? 'Keep for the band' : 'Keep for the soloist'} <kbd>Enter</kbd>
        </button>
      </div>
      <div className="proposal-tools proposal-tools-more">
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
        {children}
      </div>
    </>
  );
}

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
