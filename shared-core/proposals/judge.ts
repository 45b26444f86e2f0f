import type { Carrier, Rewrite } from '../devices/model.ts';
import { endsForm } from '../devices/site.ts';
import { beatTicks } from '../time/meter.ts';
import type { Draft, Drafted } from './draft.ts';
import type { Proposal, Verdict } from './model.ts';
import type { Taste } from './taste.ts';
import { readablePerBar, rounded, WEIGHTS } from './weights.ts';

/** What the proposals of a tune are judged by besides the tune. */
export interface Setting {
  /** Counted beats a minute. */
  readonly tempo: number;
  /** Whether the melody sounds with it. */
  readonly sounds: boolean;
  /** Whether a melody that sounds keeps out what it speaks against. */
  readonly melodyWins: boolean;
  readonly lastChorus: boolean;
  readonly taste: Taste;
}

/** The judged proposals of a site, best first, at full freshness. */
export function judgeSite({ site, drafts }: Drafted, setting: Setting): Proposal[] {
  const { tempo, taste } = setting;
  const { span } = site;
  const ending = setting.lastChorus && endsForm(site);
  const bars = site.length / (site.bars[0]?.length ?? site.length);
  const beats = site.length / beatTicks(site.meter);
  const readable = readablePerBar(tempo);
  const share = WEIGHTS.score;
  const keepsOut = setting.sounds && setting.melodyWins;
  const judged: Proposal[] = [];
  for (const draft of drafts) {
    if (keepsOut && draft.forbidden) continue;
    const { rewrite } = draft;
    const chords = rewrite.changes.length;
    const verdict = verdictAt(draft, ending);
    const score =
      draft.led * share.voiceLeading +
      draft.bassMotion * share.bassMotion +
      draft.usual * share.usual +
      (setting.sounds ? draft.melodyFit.score : 1) * share.melodyFit +
      WEIGHTS.clash[verdict] * share.clash +
      rhythmFigure(chords / bars - readable) * share.rhythm +
      share.freshness +
      taste.weightOf(rewrite.device, rewrite.degree) * share.taste;
    judged.push({
      id: draft.id,
      device: rewrite.device,
      degree: rewrite.degree,
      variant: rewrite.variant,
      span: span.id,
      carrier: carrierFor(rewrite, verdict),
      start: span.start,
      length: site.length,
      changes: draft.changes,
      tells: rewrite.tells,
      home: rewrite.home,
      melodyFit: draft.melodyFit,
      voiceLeading: draft.voiceLeading,
      bassMotion: draft.bassMotion,
      usual: draft.usual,
      clashes: draft.clashes,
      verdict,
      changesPerMinute: Math.round((chords * tempo) / beats),
      tension: draft.tension,
      peak: draft.peak,
      freshness: 1,
      score: rounded(score),
      reason: rewrite.reason,
    });
  }
  return judged.sort(better);
}

/** Best first; ties by id, so that every machine lists alike. */
export function better(a: Proposal, b: Proposal): number {
  if (a.score !== b.score) return a.score > b.score ? -1 : 1;
  return a.id < b.id ? -1 : 1;
}

/** In the ending the band must follow whatever rubs. Common practice, no source. */
function verdictAt({ verdict, clashes }: Draft, ending: boolean): Verdict {
  return ending && clashes.length > 0 ? 'the band must follow' : verdict;
}

/** What only a soloist would play becomes a matter of choice where the judge says that the band must follow. */
function carrierFor(rewrite: Rewrite, verdict: Verdict): Carrier {
  return rewrite.carrier === 'soloist' && verdict === 'the band must follow'
    ? 'either'
    : rewrite.carrier;
}

/** @param over chords a bar beyond what can be read in time */
function rhythmFigure(over: number): number {
  return over <= 0 ? 1 : Math.max(0, 1 - over * WEIGHTS.rhythm.over);
}
