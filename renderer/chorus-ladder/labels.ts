import type { ChorusPlan, Placement } from '../../shared-core/arrangement/model.ts';
import { formatHarmony } from '../../shared-core/chord/format.ts';
import type { Harmony } from '../../shared-core/chord/model.ts';
import type { Change } from '../../shared-core/devices/model.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import type { Chorus } from '../../shared-core/tune/model.ts';
import { deviceLabel } from '../common/devices.ts';
import { barsWords, type Segment } from './ruler.ts';

/** A chord symbol as it is said: `B flat maj7`. */
export function spoken(harmony: Harmony): string {
  if (harmony.kind === 'none') return 'no chord';
  return formatHarmony(harmony, { style: 'words', accidentals: 'glyph' })
    .replaceAll('♭', ' flat ')
    .replaceAll('♯', ' sharp ')
    .replaceAll('/', ' over ')
    .replace(/\s+/gu, ' ')
    .trim();
}

/** Changes as they are said, one after another. */
export function spokenChanges(changes: readonly Change[]): string {
  return changes.map((change) => spoken(change.harmony)).join(', ');
}

/** `Chorus 2, Tenor solo`. */
export function rungName(plan: ChorusPlan): string {
  const label = plan.label ? `, ${plan.label}` : '';
  const intensity = plan.intensity > 0 ? `, intensity ${plan.intensity} of 5` : '';
  return `Chorus ${plan.order + 1}${label}${intensity}`;
}

/** What stands in one cell, for ears. */
export function cellLabel(
  chorus: Chorus,
  plan: ChorusPlan,
  segment: Segment,
  placements: readonly Placement[],
  proposal: Proposal | null,
  told?: string,
): string {
  const words = standingWords(chorus, plan, segment, placements, proposal);
  return told ? `${words}. ${told}` : words;
}

function standingWords(
  chorus: Chorus,
  plan: ChorusPlan,
  segment: Segment,
  placements: readonly Placement[],
  proposal: Proposal | null,
): string {
  const place = `Chorus ${plan.order + 1}, ${barsWords(chorus, segment.start, segment.length)}`;
  const decided = placements.map(
    (placement) => `${placementWords(placement)}: ${spokenChanges(placement.changes)}`,
  );
  if (decided.length > 0) return `${place}. ${decided.join('. ')}`;
  const held = segment.span ? `${spoken(segment.span.harmony)} held` : 'as written';
  if (!proposal) return `${place}, ${held}`;
  return `${place}, ${held}. Proposed, ${deviceLabel(proposal.device)}: ${spokenChanges(proposal.changes)}`;
}

/** The written changes of one cell, for ears. */
export function writtenLabel(chorus: Chorus, segment: Segment): string {
  const place = barsWords(chorus, segment.start, segment.length);
  if (segment.span) return `Written, ${place}: ${spoken(segment.span.harmony)} held`;
  const end = segment.start + segment.length;
  const events = chorus.harmony.filter(
    (event) => event.start < end && event.start + event.length > segment.start,
  );
  return `Written, ${place}: ${events.map((event) => spoken(event.harmony)).join(', ')}`;
}

/** `Minor four, kept for the band`, `Written by hand for the soloist`. */
export function placementWords(placement: Placement): string {
  const who = placement.layer === 'band' ? 'the band' : 'the soloist';
  return placement.origin.kind === 'hand'
    ? `Written by hand for ${who}`
    : `${deviceLabel(placement.origin.device)}, kept for ${who}`;
}
