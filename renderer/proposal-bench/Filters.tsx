import type { DeviceName } from '../../shared-core/analysis/model.ts';
import type { Carrier } from '../../shared-core/devices/model.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { type Filter, useLadder } from '../chorus-ladder/ladder-store.ts';
import { deviceLabel } from '../common/devices.ts';
import { count } from '../common/words.ts';

/** The filter that lets everything through. */
export const EVERYTHING: Filter = { device: null, carrier: null, laidAside: true };

/** What is asked for: one device, what some can play, what was laid aside. */
export function Filters({
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

/** Said where no proposal stands: because none fits, or because none is of the kind asked for. */
export function NoProposals({ everything }: { readonly everything: number }) {
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
      <button type="button" className="button-ruled" onClick={() => setFilter(EVERYTHING)}>
        Show all of them
      </button>
    </div>
  );
}
