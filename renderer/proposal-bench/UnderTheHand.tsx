import type { Chair } from '../../shared-core/arrangement/band.ts';
import { pathOptionsFor } from '../../shared-core/parts/voiced.ts';
import { atSight } from '../../shared-core/pitch/copyist.ts';
import { nameOf } from '../../shared-core/pitch/spelled.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { handLeading } from '../../shared-core/voicing/hand-leading.ts';
import { useBand } from '../band/band-store.ts';
import { count, withSigns } from '../common/words.ts';
import { fretsText } from './frets-text.ts';

/** How a proposal lies for each comping chair: its shapes, its top voice, and how far the hand's voices move. */
export function UnderTheHand({ proposal }: { readonly proposal: Proposal }) {
  const band = useBand((store) => store.band);
  if (!band) return null;
  const chords = proposal.changes.flatMap(({ harmony }) =>
    harmony.kind === 'chord' ? [harmony] : [],
  );
  const comping = band.chairs.filter(({ role }) => role === 'comping');
  return comping.map((chair) => {
    const { voicings, semitones, top } = handLeading(chords, pathOptionsFor(chair, band));
    return (
      <div className="figures-row" key={chair.id}>
        <dt>{chair.name}</dt>
        <dd>
          {shapesOf(chair, voicings)}
          top voice {withSigns(top.map((pitch) => nameOf(atSight(pitch).pc)).join(', '))};{' '}
          {count(semitones, 'semitone')} in all
        </dd>
      </div>
    );
  });
}

type Voicings = ReturnType<typeof handLeading>['voicings'];

/** Guitar shapes, as the charts print them; nothing for keys. */
function shapesOf({ strings }: Chair, voicings: Voicings) {
  const shapes = voicings.flatMap((voicing) =>
    voicing?.frets ? [fretsText(voicing.frets, strings?.capo ?? 0)] : [],
  );
  return shapes.length > 0 ? <span className="frets">{shapes.join('   ')}; </span> : null;
}
