import { nameOf } from '../../shared-core/pitch/spelled.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { useChordView } from '../common/chord-view.ts';
import { withSigns } from '../common/words.ts';

/** The one note that is all a soloist plays of the changes beside it; nothing for whole chords. */
export function JustTheNote({ proposal }: { readonly proposal: Proposal }) {
  const view = useChordView();
  if (proposal.degree !== 'note' || proposal.tells === null) return null;
  return (
    <span className="just-the-note">
      just <b>{withSigns(nameOf(view.readNote(proposal.tells)))}</b> of
    </span>
  );
}
