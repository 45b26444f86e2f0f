import type { Band, Chair } from '../arrangement/band.ts';
import type { ChorusPlan } from '../arrangement/model.ts';
import { isHead, soloistOf } from '../arrangement/soloist-of.ts';

/** What an open chorus asks of a horn, where the arrangement says no more. Common practice, no source. */
const OPEN = 'open: play if called, else backgrounds on cue';

/**
 * The choruses as a soloist's chart names them. One without a label is called after what is played in it:
 * the head, or the solo of the chair whose turn it is. One that names nobody, in a band with several
 * soloists, says what to do there. Other chairs play the same in all of them and keep the labels.
 */
export function chorusNames(
  choruses: readonly ChorusPlan[],
  chair: Chair,
  band: Pick<Band, 'chairs'>,
  hasMelody: boolean,
): readonly ChorusPlan[] {
  if (chair.role !== 'soloist') return choruses;
  const several = band.chairs.filter(({ role }) => role === 'soloist').length > 1;
  return choruses.map((plan) => {
    const label = plan.label?.trim() ?? '';
    const owner = soloistOf(plan, choruses, band, hasMelody);
    if (label !== '')
      return owner === null && several ? { ...plan, label: `${label} · ${OPEN}` } : plan;
    if (isHead(plan, choruses, hasMelody)) return { ...plan, label: 'Head' };
    const name = band.chairs.find(({ id }) => id === owner)?.name;
    return name === undefined || !several ? plan : { ...plan, label: `${name} solo` };
  });
}
