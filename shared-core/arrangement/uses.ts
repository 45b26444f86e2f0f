import type { DeviceUse } from '../proposals/model.ts';
import type { ArrangementState } from './model.ts';

/** What an arrangement already does, as the judge of freshness needs it: one row per accepted proposal. */
export function usesOf(state: ArrangementState): readonly DeviceUse[] {
  const uses: DeviceUse[] = [];
  for (const placement of Object.values(state.placements)) {
    const chorus = state.choruses[placement.chorus];
    if (chorus && placement.origin.kind === 'proposal') {
      const { device, degree } = placement.origin;
      uses.push({
        chorus: chorus.order,
        device,
        degree,
        start: placement.start,
        length: placement.length,
      });
    }
  }
  return uses.sort((a, b) => a.chorus - b.chorus || a.start - b.start);
}
