import type { Analysis, DeviceName, StaticSpan } from '../analysis/model.ts';
import { DEVICES } from '../devices/index.ts';
import type { Change, Rewrite, Site } from '../devices/model.ts';
import { sitesOf } from '../devices/site.ts';
import { beatTicks } from '../time/meter.ts';
import { clashReport } from './clash.ts';
import { freshnessOf } from './freshness.ts';
import { melodyFit, melodyForbids } from './melody-fit.ts';
import type { DeviceUse, Proposal } from './model.ts';
import { NO_TASTE, type Taste } from './taste.ts';
import { tensionAlong } from './tension.ts';
import { movesIn, voiceLeading, voiceLeadingFigure } from './voice-leading.ts';
import { readablePerBar, rounded, WEIGHTS } from './weights.ts';

/** What the judge is told besides the tune. */
export interface ProposeOptions {
  /** Counted beats a minute; null or absent takes the table's usual tempo. */
  readonly tempo?: number | null;
  /** 0-based chorus asked about; absent asks in general (the melody then counts as sounding). */
  readonly chorus?: number;
  /** Whether the melody sounds in that chorus; by default it does in the first and in general. */
  readonly melodySounds?: boolean;
  /** Whether that chorus is the last one. */
  readonly lastChorus?: boolean;
  /** What the arrangement already does. */
  readonly uses?: readonly DeviceUse[];
  readonly taste?: Taste;
  /** Only these spans, by id. */
  readonly spans?: readonly string[];
  /** Only these devices; asked for by name, a device is shown even where the melody speaks against it. */
  readonly devices?: readonly DeviceName[];
}

/** A proposal before freshness and taste: what depends on the tune, the tempo and the melody alone. */
interface Judged {
  readonly proposal: Omit<Proposal, 'freshness' | 'score'>;
  /** Weighted sum of the figures that never change with the arrangement. */
  readonly fixed: number;
}

/**
 * Every judged proposal for a tune: each device at each static span, best first within its span.
 * Pure and deterministic: the same analysis and options give the same proposals, ids and figures.
 *
 * Proposals that a tested melody note speaks against are left out while the melody sounds, unless the
 * device is asked for by name.
 *
 * @example propose(understand(tune).value, { tempo: 140, chorus: 1 })[0].reason
 */
export function propose(analysis: Analysis, options: ProposeOptions = {}): readonly Proposal[] {
  const taste = options.taste ?? NO_TASTE;
  const uses = options.uses ?? [];
  const chorus = options.chorus ?? 0;
  const proposals: Proposal[] = [];
  for (const site of sitesOf(analysis)) {
    if (options.spans && !options.spans.includes(site.span.id)) continue;
    const here = judgeSite(site, options).map(({ proposal, fixed }) => {
      const freshness = freshnessOf({ ...proposal, chorus }, uses);
      const liking = taste.weightOf(proposal.device, proposal.degree);
      const score = fixed + freshness * WEIGHTS.score.freshness + liking * WEIGHTS.score.taste;
      return { ...proposal, freshness, score: rounded(score) };
    });
    proposals.push(...here.sort((a, b) => b.score - a.score || (a.id < b.id ? -1 : 1)));
  }
  return proposals;
}

function judgeSite(site: Site, options: ProposeOptions): Judged[] {
  const judged: Judged[] = [];
  for (const device of DEVICES) {
    const asked = options.devices?.includes(device.name) ?? false;
    if (options.devices && !asked) continue;
    for (const rewrite of device.propose(site)) {
      const one = judge(site, rewrite, options, asked);
      if (one) judged.push(one);
    }
  }
  return judged;
}

function judge(
  site: Site,
  rewrite: Rewrite,
  options: ProposeOptions,
  asked: boolean,
): Judged | null {
  const { changes } = rewrite;
  const sounds = options.melodySounds ?? (options.chorus ?? 0) === 0;
  const fit = melodyFit(site, changes);
  if (sounds && !asked && melodyForbids(site, fit)) return null;
  const leading = voiceLeading(site, changes);
  const moves = movesIn(site, changes);
  const ending = (options.lastChorus ?? false) && site.span.places.includes('end-of-form');
  const report = clashReport(site, changes, ending);
  const { tension, peak } = tensionAlong(site, changes);
  const tempo = options.tempo ?? WEIGHTS.rhythm.usualTempo;
  const share = WEIGHTS.score;
  const fixed =
    voiceLeadingFigure(leading, moves) * share.voiceLeading +
    (sounds ? fit.score : 1) * share.melodyFit +
    WEIGHTS.clash[report.verdict] * share.clash +
    rhythmFigure(site, changes, tempo) * share.rhythm;
  return {
    fixed,
    proposal: {
      id: proposalId(rewrite, site.span),
      device: rewrite.device,
      degree: rewrite.degree,
      variant: rewrite.variant,
      span: site.span.id,
      carrier: rewrite.carrier,
      start: site.span.start,
      length: site.length,
      changes,
      tells: rewrite.tells,
      home: rewrite.home,
      melodyFit: fit,
      voiceLeading: leading,
      clashes: report.clashes,
      verdict: report.verdict,
      changesPerMinute: changesPerMinute(site, changes, tempo),
      tension,
      peak,
      reason: rewrite.reason,
    },
  };
}

/** `backdoor.seventh.bar2~b5.1x8`: readable, and made of nothing but the tune's own places. */
export function proposalId(rewrite: Rewrite, span: StaticSpan): string {
  return `${rewrite.device}.${rewrite.degree}.${rewrite.variant}~${span.id}`;
}

/** Chord changes a minute a player must read through the span at this tempo. */
function changesPerMinute(site: Site, changes: readonly Change[], tempo: number): number {
  const beats = site.length / beatTicks(site.meter);
  return Math.round((changes.length * tempo) / beats);
}

function rhythmFigure(site: Site, changes: readonly Change[], tempo: number): number {
  const bars = site.length / (site.bars[0]?.length ?? site.length);
  const over = changes.length / bars - readablePerBar(tempo);
  return over <= 0 ? 1 : Math.max(0, 1 - over * WEIGHTS.rhythm.over);
}
