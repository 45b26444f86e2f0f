import type { DeviceName, StaticSpan } from '../../shared-core/analysis/model.ts';
import { sameChord } from '../../shared-core/chord/same.ts';
import type { DeviceDegree } from '../../shared-core/devices/model.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';

/** Everything one device proposes for one held bar. */
export interface DeviceGroup {
  readonly device: DeviceName;
  /** What is shown for the device. */
  readonly best: Proposal;
  /** The other ways, from the whole chord to the single note, each degree by place. */
  readonly ways: readonly Proposal[];
}

/** From the fullest statement of a device to the slightest hint of it. */
const DEGREE_ORDER: readonly DeviceDegree[] = ['full', 'seventh', 'triad', 'note'];

/** Proposals, best first, as one group a device in the order of each device's best. */
export function groupByDevice(
  proposals: readonly Proposal[],
  span: Pick<StaticSpan, 'harmony'>,
): readonly DeviceGroup[] {
  const byDevice = new Map<DeviceName, Proposal[]>();
  for (const proposal of proposals) {
    const known = byDevice.get(proposal.device);
    if (known) known.push(proposal);
    else byDevice.set(proposal.device, [proposal]);
  }
  const groups: DeviceGroup[] = [];
  for (const [device, [best, ...others]] of byDevice) {
    if (best) groups.push({ device, best, ways: others.sort((a, b) => inOrder(a, b, span)) });
  }
  return groups;
}

/** By degree, then by place; sorting is stable, so the better one stands first of two at one place. */
function inOrder(a: Proposal, b: Proposal, span: Pick<StaticSpan, 'harmony'>): number {
  const degrees = DEGREE_ORDER.indexOf(a.degree) - DEGREE_ORDER.indexOf(b.degree);
  return degrees || leaves(a, span) - leaves(b, span);
}

/** Ticks from the span's start at which the held chord is first left. */
function leaves(proposal: Proposal, span: Pick<StaticSpan, 'harmony'>): Ticks {
  const away = proposal.changes.find((change) => !sameChord(change.harmony, span.harmony));
  return away?.at ?? proposal.length;
}

/** Whether the ways of a device lie open: the person opened them, or stands on one of them. */
export function waysOpen(
  group: DeviceGroup,
  opened: ReadonlySet<DeviceName>,
  chosen: Proposal | null,
): boolean {
  return opened.has(group.device) || (chosen !== null && group.ways.includes(chosen));
}

/** What can be seen of the groups, from top to bottom. */
export function inSight(
  groups: readonly DeviceGroup[],
  opened: ReadonlySet<DeviceName>,
  chosen: Proposal | null,
): readonly Proposal[] {
  return groups.flatMap((group) =>
    waysOpen(group, opened, chosen) ? [group.best, ...group.ways] : [group.best],
  );
}
