import { type KeyboardEvent, useLayoutEffect, useMemo, useRef } from 'react';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { groundOf, listedProposals } from '../chorus-ladder/standing.ts';
import { useTaste } from '../taste/taste-store.ts';
import { chooseNeighbour, type Place, turnWays } from './actions.ts';
import { DeviceEntry } from './DeviceEntry.tsx';
import { groupByDevice, waysOpen } from './device-groups.ts';
import { EVERYTHING, Filters, NoProposals } from './Filters.tsx';

/** What a key pressed among the proposals asks for beyond moving about. True: it was understood. */
export type BenchKeys = (event: KeyboardEvent) => boolean;

/** The slips for one held bar, one entry a device: choose, hear, keep, lay aside. */
export function ProposalList({
  place,
  onKey,
}: {
  readonly place: Place;
  readonly onKey: BenchKeys;
}) {
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
    EVERYTHING,
  );
  const { rejections } = place.arrangement.held.state;
  const aside = everything.filter(
    (proposal) => rejections[`${place.chorus.id}:${proposal.id}`] !== undefined,
  ).length;
  return (
    <section className="proposals" aria-label="Proposals">
      <Filters all={everything} filter={filter} aside={aside} />
      {place.proposals.length === 0 && <NoProposals everything={everything.length} />}
      <Devices place={place} onKey={onKey} />
    </section>
  );
}

function Devices({ place, onKey }: { readonly place: Place; readonly onKey: BenchKeys }) {
  const opened = useLadder((store) => store.opened);
  const list = useRef<HTMLUListElement>(null);
  const { span } = place.segment;
  const groups = useMemo(
    () => (span ? groupByDevice(place.proposals, span) : []),
    [place.proposals, span],
  );
  const keyboard = useKeyboardOnCard(list, place.chosen);
  const onKeyDown = (event: KeyboardEvent) => {
    const onControl = event.target instanceof HTMLElement && event.target.matches('button');
    // A button answers these two keys themselves.
    if (onControl && (event.key === 'Enter' || event.key === ' ')) return;
    if (!moved(event) && !onKey(event)) return;
    event.preventDefault();
    keyboard.current = true;
  };
  return (
    <ul className="proposal-list" ref={list} onKeyDown={onKeyDown}>
      {groups.map((group) => (
        <DeviceEntry
          key={group.device}
          place={place}
          group={group}
          open={waysOpen(group, opened, place.chosen)}
          onChoose={() => {
            keyboard.current = true;
          }}
        />
      ))}
    </ul>
  );
}

/** Up and down go over what is seen; right opens the ways of the device, left closes them. */
function moved(event: KeyboardEvent): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey) return false;
  switch (event.key) {
    case 'ArrowUp':
      chooseNeighbour(-1);
      return true;
    case 'ArrowDown':
      chooseNeighbour(1);
      return true;
    case 'ArrowRight':
      turnWays(true);
      return true;
    case 'ArrowLeft':
      turnWays(false);
      return true;
    default:
      return false;
  }
}

/**
 * Who chose on the list finds the keyboard on the chosen card: the button that was pressed has turned
 * into it. Who chose on the ladder stays there.
 */
function useKeyboardOnCard(
  list: React.RefObject<HTMLElement | null>,
  chosen: Proposal | null,
): React.RefObject<boolean> {
  const wanted = useRef(false);
  // biome-ignore lint/correctness/useExhaustiveDependencies: moves when another slip is chosen
  useLayoutEffect(() => {
    const { activeElement } = document;
    const free = activeElement === document.body || list.current?.contains(activeElement);
    if (!wanted.current || !free) return;
    wanted.current = false;
    list.current?.querySelector<HTMLElement>('.proposal-chosen')?.focus({ preventScroll: true });
  }, [chosen?.id]);
  return wanted;
}
