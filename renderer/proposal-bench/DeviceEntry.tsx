import type { Proposal } from '../../shared-core/proposals/model.ts';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { DEGREE_WORDS, deviceLabel } from '../common/devices.ts';
import { count } from '../common/words.ts';
import { type Place, turnWays } from './actions.ts';
import type { DeviceGroup } from './device-groups.ts';
import { ProposalCard } from './ProposalCard.tsx';
import { SlipChanges } from './SlipChanges.tsx';
import { verdictWords } from './verdict-words.ts';

/** One device: its best slip, and the other ways of it when they are asked for. */
export function DeviceEntry({
  place,
  group,
  open,
  onChoose,
}: {
  readonly place: Place;
  readonly group: DeviceGroup;
  readonly open: boolean;
  /** Called when a slip is chosen here, not on the ladder. */
  readonly onChoose: () => void;
}) {
  const choose = useLadder((store) => store.choose);
  const { best, device, ways } = group;
  const pick = (proposal: Proposal) => {
    onChoose();
    choose(proposal.id);
  };
  const waysId = `ways-${device}`;
  return (
    <li className="device">
      {best === place.chosen ? (
        <ProposalCard place={place} proposal={best} ways={ways.length} />
      ) : (
        <button
          type="button"
          className="proposal proposal-best"
          tabIndex={-1}
          onClick={() => pick(best)}
        >
          <span className="proposal-name">{deviceLabel(device)}</span>
          <span className="proposal-verdict">{verdictWords(best)}</span>
          <SlipChanges place={place} proposal={best} />
        </button>
      )}
      {ways.length > 0 && (
        <button
          type="button"
          className="ways-button small"
          tabIndex={place.chosen?.device === device ? 0 : -1}
          aria-expanded={open}
          aria-controls={waysId}
          aria-label={`${deviceLabel(device)}: ${count(ways.length, 'more way')}`}
          aria-keyshortcuts="m"
          onClick={() => {
            const standsHere = place.chosen?.device === device;
            if (standsHere) turnWays(!open);
            else useLadder.getState().openWays(device, !open);
          }}
        >
          {open ? 'fewer' : count(ways.length, 'more way')}
          <Turn open={open} />
        </button>
      )}
      {open && (
        <ul className="ways" id={waysId} aria-label={`More ways of ${deviceLabel(device)}`}>
          {ways.map((way, index) => (
            <li key={way.id}>
              {way.degree !== ways[index - 1]?.degree && (
                <p className="ways-degree">{DEGREE_WORDS[way.degree]}</p>
              )}
              {way === place.chosen ? (
                <ProposalCard place={place} proposal={way} ways={0} />
              ) : (
                <button
                  type="button"
                  className="proposal proposal-way"
                  tabIndex={-1}
                  onClick={() => pick(way)}
                >
                  <SlipChanges place={place} proposal={way} />
                  {way.verdict !== best.verdict && (
                    <span className="proposal-verdict">{verdictWords(way)}</span>
                  )}
                </button>
              )}
            </li>
          ))}
        </ul>
      )}
    </li>
  );
}

function Turn({ open }: { readonly open: boolean }) {
  return (
    <svg className="sign sign-small" viewBox="0 0 14 14" aria-hidden="true">
      <path
        d={open ? 'M2 9.5l5-5 5 5' : 'M2 4.5l5 5 5-5'}
        fill="none"
        stroke="currentColor"
        strokeWidth="1.5"
      />
    </svg>
  );
}
