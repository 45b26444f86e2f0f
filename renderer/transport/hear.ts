import { applyCommand } from '../../shared-core/arrangement/fold.ts';
import type { KeptLine } from '../../shared-core/arrangement/model.ts';
import { placementOf, usualLayer } from '../../shared-core/arrangement/placement.ts';
import { useSettings } from '../app/settings.ts';
import { useBand } from '../band/band-store.ts';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { deviceLabel } from '../common/devices.ts';
import { say } from '../common/said.tsx';
import { performerFor } from '../engine/perform-elsewhere.ts';
import { currentPlace, type Place } from '../proposal-bench/actions.ts';
import { chorusScene, type Hearing, type Spot, type Stage, spotScene } from './scenes.ts';
import { useTransport } from './transport-store.ts';

function stage(): Stage | null {
  const { arrangement } = useLadder.getState();
  const { band } = useBand.getState();
  if (!arrangement || !band) {
    say('The band is not here yet; try again in a moment.');
    return null;
  }
  const { tempo } = useTransport.getState();
  const { open, held } = arrangement;
  const perform = performerFor(open, band);
  const { walkingLine } = useSettings.getState();
  return {
    open,
    state: held.state,
    perform: (state, options) => perform(state, { ...options, bassAsWritten: walkingLine }),
    tempo,
  };
}

function spotOf(place: Place): Spot {
  const { chorus, segment } = place;
  const { start, length } = segment.span ?? segment;
  return { chorus: chorus.order, start, length };
}

function hearSpot(hearing: (place: Place) => readonly [Hearing, string]): void {
  const place = currentPlace();
  if (!place) {
    say('Stand in a chorus to hear it before and after.');
    return;
  }
  const on = stage();
  if (!on) return;
  const [what, name] = hearing(place);
  void useTransport.getState().play(name, spotScene(on, spotOf(place), what));
}

/** Sounds the place the person stands at as it is written. */
export function hearBefore(): void {
  hearSpot(() => [{ kind: 'written' }, 'Before']);
}

/** Sounds the place with the chosen proposal; where something was decided and no other chosen, with that. */
export function hearAfter(): void {
  hearSpot((place) => {
    const { chosen, placements } = place;
    const asked = useLadder.getState().chosen !== null;
    if (!chosen || (placements.length > 0 && !asked)) return [{ kind: 'decided' }, 'As decided'];
    const placement = placementOf(chosen, place.chorus.id, usualLayer(chosen), 'audition');
    return [{ kind: 'placed', placement }, `After: ${deviceLabel(chosen.device)}`];
  });
}

/** Sounds the place as it was decided. */
export function hearDecided(): void {
  hearSpot(() => [{ kind: 'decided' }, 'As decided']);
}

/** Sounds one chorus, counted from 0. */
export function hearChorus(order: number): void {
  hearChoruses(order, order, `Chorus ${order + 1}`);
}

/** Sounds the chorus of a line with the line in it, kept or not. `order` counts choruses from 0. */
export function hearLine(line: KeptLine, order: number): void {
  const on = stage();
  if (!on) return;
  const applied = applyCommand(on.state, { kind: 'set-line', line });
  if (!applied.ok) throw new Error(`A line could not be laid: ${applied.error.code}`);
  const { countIn } = useSettings.getState();
  const scene = chorusScene({ ...on, state: applied.value.state }, order, order, countIn);
  void useTransport.getState().play('The line', scene);
}

/** Sounds the arrangement from a chorus to its end. */
export function hearFrom(order: number): void {
  const { arrangement } = useLadder.getState();
  hearChoruses(order, (arrangement?.choruses.length ?? 1) - 1, 'The arrangement');
}

function hearChoruses(from: number, to: number, name: string): void {
  const on = stage();
  if (!on) return;
  const { countIn } = useSettings.getState();
  void useTransport.getState().play(name, chorusScene(on, from, to, countIn));
}
