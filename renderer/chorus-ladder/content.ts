import type {
  ArrangementState,
  ChorusPlan,
  Placement,
} from '../../shared-core/arrangement/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import type { RungContent } from './Rung.tsx';
import type { Segment } from './ruler.ts';

/**
 * What stands in every chorus. Contents that did not change since `before` are the very same objects,
 * so that a decision touches its own rung alone.
 */
export function contentsOf(
  state: ArrangementState,
  choruses: readonly ChorusPlan[],
  segments: readonly Segment[],
  chorusLength: Ticks,
  chairNames: ReadonlyMap<string, string>,
  before: ReadonlyMap<string, RungContent>,
): ReadonlyMap<string, RungContent> {
  const placements = Object.values(state.placements);
  const contents = new Map<string, RungContent>();
  choruses.forEach((plan, index) => {
    const previous = choruses[index - 1];
    const mine = placements.filter((placement) => placement.chorus === plan.id);
    const tail =
      placements.find(
        (placement) =>
          placement.chorus === previous?.id && placement.start + placement.length > chorusLength,
      ) ?? null;
    const told = tellings(state, plan.id, segments, chairNames);
    const next: RungContent = { bySegment: bySegment(mine, segments), told, tail };
    const old = before.get(plan.id);
    contents.set(plan.id, old && sameContent(old, next) ? old : next);
  });
  return contents;
}

/** What chairs are told and what lines they have, in words, by the cell it starts in. */
function tellings(
  state: ArrangementState,
  chorus: string,
  segments: readonly Segment[],
  chairNames: ReadonlyMap<string, string>,
): ReadonlyMap<string, string> {
  const told = new Map<string, string>();
  const tell = (to: { readonly chair: string; readonly start: Ticks }, what: string) => {
    const segment = segmentAt(segments, to.start);
    if (!segment) return;
    const words = `${chairNames.get(to.chair) ?? 'A chair that left'}: ${what}`;
    const before = told.get(segment.id);
    told.set(segment.id, before ? `${before}, ${words}` : words);
  };
  for (const direction of Object.values(state.directions)) {
    if (direction.chorus === chorus) tell(direction, direction.words);
  }
  for (const line of Object.values(state.lines)) {
    if (line.chorus === chorus) tell(line, 'a written line');
  }
  return told;
}

function bySegment(
  placements: readonly Placement[],
  segments: readonly Segment[],
): ReadonlyMap<string, readonly Placement[]> {
  const map = new Map<string, Placement[]>();
  for (const placement of [...placements].sort(bandFirst)) {
    const segment = segmentAt(segments, placement.start);
    if (!segment) continue;
    const list = map.get(segment.id);
    if (list) list.push(placement);
    else map.set(segment.id, [placement]);
  }
  return map;
}

function bandFirst(a: Placement, b: Placement): number {
  return a.start - b.start || (a.layer === b.layer ? 0 : a.layer === 'band' ? -1 : 1);
}

/** The cell a tick falls in; null outside the chorus. */
export function segmentAt(segments: readonly Segment[], at: Ticks): Segment | null {
  return (
    segments.find((segment) => at >= segment.start && at < segment.start + segment.length) ?? null
  );
}

function sameContent(a: RungContent, b: RungContent): boolean {
  if (a.tail !== b.tail || a.bySegment.size !== b.bySegment.size) return false;
  if (a.told.size !== b.told.size) return false;
  for (const [segment, words] of b.told) if (a.told.get(segment) !== words) return false;
  for (const [segment, placements] of b.bySegment) {
    const others = a.bySegment.get(segment);
    if (others?.length !== placements.length) return false;
    if (!placements.every((placement, index) => placement === others[index])) return false;
  }
  return true;
}
