import type { Proposal } from '../../shared-core/proposals/model.ts';
import type { Place } from './actions.ts';
import { ChangesLine } from './ChangesLine.tsx';
import { JustTheNote } from './JustTheNote.tsx';

/** The changes of a proposal on one line, led by the note where only one is to be played. */
export function SlipChanges({
  place,
  proposal,
}: {
  readonly place: Place;
  readonly proposal: Proposal;
}) {
  return (
    <span className="proposal-changes">
      <JustTheNote proposal={proposal} />
      <ChangesLine
        changes={proposal.changes}
        chorus={place.arrangement.open.analysis.chorus}
        start={proposal.start}
      />
    </span>
  );
}
