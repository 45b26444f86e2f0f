import type { Analysis, DeviceName, StaticSpan } from '../analysis/model.ts';
import { sameChord } from '../chord/same.ts';
import { DEVICES } from '../devices/index.ts';
import type { Carrier, Change, Device, Rewrite, Site } from '../devices/model.ts';
import { inWhole, type Phrase, phrasesOf } from '../devices/phrases.ts';
import { sitesOf } from '../devices/site.ts';
import { beatTicks } from '../time/meter.ts';
import { clashReport } from './clash.ts';
import { freshnessOf } from './freshness.ts';
import { keepWritten } from './keep-written.ts';
import { melodyFit, melodyForbids } from './melody-fit.ts';
import type { DeviceUse, Proposal, Verdict } from './model.ts';
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
  /**
   * Only these devices. Asked for by name, a device is shown even where the melody speaks against it, and
   * where it takes the first beat of a section from its written chord.
   */
  readonly devices?: readonly DeviceName[];
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
  const uses = options.uses ?? [];
  const used = new Set(uses.map((use) => use.device));
  const chorus = options.chorus ?? 0;
  return judgeAll(analysis, options).flatMap((here) => {
    if (!here.some((proposal) => used.has(proposal.device))) return here;
    return here
      .map((proposal) => (used.has(proposal.device) ? aged(proposal, chorus, uses) : proposal))
      .sort(better);
  });
}

/** A proposal as fresh as the arrangement leaves it. Judged proposals are worth full freshness. */
function aged(proposal: Proposal, chorus: number, uses: readonly DeviceUse[]): Proposal {
  const freshness = freshnessOf({ ...proposal, chorus }, uses);
  return {
    ...proposal,
    freshness,
    score: rounded(proposal.score - (1 - freshness) * WEIGHTS.score.freshness),
  };
}

/** Best first; ties by id, so that every machine lists alike. */
function better(a: Proposal, b: Proposal): number {
  return b.score - a.score || (a.id < b.id ? -1 : 1);
}

/** What was judged last, for one setting. */
interface Remembered {
  readonly taste: Taste;
  /** For each site, best first, at full freshness. */
  readonly sites: readonly (readonly Proposal[])[];
}

/**
 * Judged proposals of the last analyses, by what they depend on. Choruses share them: from one chorus to
 * the next only freshness changes, so twelve choruses cost little more than one.
 */
const remembered = new WeakMap<Analysis, Map<string, Remembered>>();
/** Settings remembered for one analysis: with and without melody, last chorus or not, at two tempi. */
const SETTINGS = 8;

function judgeAll(analysis: Analysis, options: ProposeOptions): Remembered['sites'] {
  const taste = options.taste ?? NO_TASTE;
  if (options.devices || options.spans) return judgeSites(analysis, options, taste);
  const key = `${options.tempo ?? ''}/${melodySounds(analysis, options)}/${options.lastChorus ?? false}`;
  let known = remembered.get(analysis);
  if (!known) {
    known = new Map();
    remembered.set(analysis, known);
  }
  const found = known.get(key);
  if (found?.taste === taste) return found.sites;
  const sites = judgeSites(analysis, options, taste);
  if (known.size >= SETTINGS) known.clear();
  known.set(key, { taste, sites });
  return sites;
}

function judgeSites(
  analysis: Analysis,
  options: ProposeOptions,
  taste: Taste,
): Remembered['sites'] {
  return sitesOf(analysis)
    .filter((site) => options.spans?.includes(site.span.id) ?? true)
    .map((site) => judgeSite(site, options, taste).sort(better));
}

/** Whether a melody sounds where the question is asked. */
function melodySounds(analysis: Analysis, options: ProposeOptions): boolean {
  return analysis.chorus.melody.length > 0 && (options.melodySounds ?? (options.chorus ?? 0) === 0);
}

function judgeSite(site: Site, options: ProposeOptions, taste: Taste): Proposal[] {
  const judged: Proposal[] = [];
  const phrases = phrasesOf(site);
  for (const device of DEVICES) {
    const asked = options.devices?.includes(device.name) ?? false;
    if (options.devices && !asked) continue;
    // Asked for by name, a device may also take the first beat of a section from its written chord.
    const place = asked ? { ...site, keep: [] } : site;
    const inside = phrases.flatMap((phrase) => comingHome(device, phrase));
    for (const rewrite of withoutCopies([...device.propose(place), ...inside])) {
      const proposal = judge(site, rewrite, options, asked, taste);
      if (proposal) judged.push(proposal);
    }
  }
  return judged;
}

/**
 * What a device does over a phrase of a longer stretch so that home comes with the next phrase. What is home
 * again before that belongs to the whole stretch, where the device says it itself.
 */
function comingHome(device: Device, phrase: Phrase): Rewrite[] {
  const { held } = phrase.site;
  return device
    .propose(phrase.site)
    .filter((rewrite) => rewrite.changes.at(-1)?.harmony !== held)
    .map((rewrite) => inWhole(phrase, rewrite));
}

/**
 * The rewrites of one device, each said once: in short bars two layouts may write the same chords at the
 * same places. A degree that is one note to play stays beside the chord it is a note of. Two devices that
 * write the same chords both stay: they are two ways to think, and a leader may look for either by name.
 */
function withoutCopies(rewrites: readonly Rewrite[]): readonly Rewrite[] {
  const kept: Rewrite[] = [];
  for (const rewrite of rewrites) if (!hasCopy(kept, rewrite)) kept.push(rewrite);
  return kept;
}

function hasCopy(kept: readonly Rewrite[], rewrite: Rewrite): boolean {
  for (const other of kept) if (writesTheSame(rewrite, other)) return true;
  return false;
}

function writesTheSame(a: Rewrite, b: Rewrite): boolean {
  if (a.changes.length !== b.changes.length || a.carrier !== b.carrier) return false;
  if ((a.degree === 'note') !== (b.degree === 'note')) return false;
  // From the end: rewrites of one device begin alike, at home.
  for (let index = a.changes.length - 1; index >= 0; index--) {
    const here = a.changes[index];
    const there = b.changes[index];
    if (!here || !there || here.at !== there.at || !sameChord(here.harmony, there.harmony))
      return false;
  }
  return true;
}

function judge(
  site: Site,
  rewrite: Rewrite,
  options: ProposeOptions,
  asked: boolean,
  taste: Taste,
): Proposal | null {
  const { changes } = rewrite;
  const sounds = melodySounds(site.analysis, options);
  const fit = melodyFit(site, changes);
  if (sounds && !asked && melodyForbids(site, fit)) return null;
  const ending = (options.lastChorus ?? false) && site.span.places.includes('end-of-form');
  const { clashes, verdict } = clashReport(site, rewrite, ending);
  const leading = voiceLeading(site, changes);
  const tempo = options.tempo ?? WEIGHTS.rhythm.usualTempo;
  const share = WEIGHTS.score;
  const score =
    voiceLeadingFigure(leading, movesIn(site, changes)) * share.voiceLeading +
    (sounds ? fit.score : 1) * share.melodyFit +
    WEIGHTS.clash[verdict] * share.clash +
    rhythmFigure(site, changes, tempo) * share.rhythm +
    share.freshness +
    taste.weightOf(rewrite.device, rewrite.degree) * share.taste;
  const printed = keepWritten(site, changes);
  const { tension, peak } = tensionAlong(site, printed);
  return {
    id: proposalId(rewrite, site.span),
    device: rewrite.device,
    degree: rewrite.degree,
    variant: rewrite.variant,
    span: site.span.id,
    carrier: carrierFor(rewrite, verdict),
    start: site.span.start,
    length: site.length,
    changes: printed,
    tells: rewrite.tells,
    home: rewrite.home,
    melodyFit: fit,
    voiceLeading: leading,
    clashes,
    verdict,
    changesPerMinute: changesPerMinute(site, changes, tempo),
    tension,
    peak,
    freshness: 1,
    score: rounded(score),
    reason: rewrite.reason,
  };
}

/** What only a soloist would play becomes a matter of choice where the judge says that the band must follow. */
function carrierFor(rewrite: Rewrite, verdict: Verdict): Carrier {
  return rewrite.carrier === 'soloist' && verdict === 'the band must follow'
    ? 'either'
    : rewrite.carrier;
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
