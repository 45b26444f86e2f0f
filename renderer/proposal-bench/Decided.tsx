import type { Layer, Placement } from '../../shared-core/arrangement/model.ts';
import { placementWords } from '../chorus-ladder/labels.ts';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { useClient } from '../common/shell-context.ts';
import { hearDecided } from '../transport/hear.ts';
import { type Place, takeOut } from './actions.ts';
import { ChangesLine } from './ChangesLine.tsx';

/** What was decided at this place, and how to take it back or give it to others. */
export function Decided({ place }: { readonly place: Place }) {
  if (place.placements.length === 0) return null;
  return (
    <section className="decided" aria-label="Decided here">
      {place.placements.map((placement) => (
        <DecidedOne key={placement.id} placement={placement} place={place} />
      ))}
    </section>
  );
}

function DecidedOne({
  placement,
  place,
}: {
  readonly placement: Placement;
  readonly place: Place;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const other: Layer = placement.layer === 'band' ? 'soloist' : 'band';
  return (
    <div className={`decided-one decided-${placement.layer}`}>
      <p className="decided-words">{placementWords(placement)}</p>
      <ChangesLine
        changes={placement.changes}
        chorus={place.arrangement.open.analysis.chorus}
        start={placement.start}
      />
      <div className="decided-tools">
        <button type="button" onClick={hearDecided}>
          Hear it
        </button>
        <button
          type="button"
          onClick={() =>
            void decide(client, { kind: 'set-layer', placement: placement.id, layer: other })
          }
        >
          {other === 'band' ? 'Give to the whole band' : 'Leave to the soloist'}
        </button>
        <button type="button" onClick={() => void takeOut(client, [placement])}>
          Take out
        </button>
      </div>
    </div>
  );
}
