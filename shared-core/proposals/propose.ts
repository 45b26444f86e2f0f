import type { Analysis, DeviceName } from '../analysis/model.ts';
import type { Site } from '../devices/model.ts';
import { endsForm, sitesOf } from '../devices/site.ts';
import { memo } from '../memo.ts';
import { type Drafted, draftSite } from './draft.ts';
import { freshnessOf } from './freshness.ts';
import { better, judgeSite, type Setting } from './judge.ts';
import type { DeviceUse, Proposal } from './model.ts';
import { NO_TASTE, type Taste } from './taste.ts';
import { Twins } from './twins.ts';
import { rounded, WEIGHTS } from './weights.ts';

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
  const judged = judgeAll(analysis, options);
  if (uses.length === 0) return judged.all;
  return judged.sites.flatMap((here) => {
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

/** What was judged last, for one setting. */
interface Judged {
  readonly taste: Taste;
  /** For each site, best first, at full freshness. */
  readonly sites: readonly (readonly Proposal[])[];
  /** The same in one list. */
  readonly all: readonly Proposal[];
}

/** What is known of one tune. */
interface Remembered {
  readonly drafted: readonly Drafted[];
  readonly judged: Map<string, Judged>;
}

/**
 * The drafts of the last analyses, and what was judged of them by what it depends on. Choruses share the
 * drafts, and most of them the judging too: from one solo chorus to the next only freshness changes, so
 * twelve choruses cost little more than one.
 */
const remembered = memo<Analysis, Remembered>();
/** Settings remembered for one analysis: with and without melody, last chorus or not, at two tempi. */
const SETTINGS = 8;

function judgeAll(analysis: Analysis, options: ProposeOptions): Judged {
  const { spans, devices } = options;
  if (devices || spans) {
    const sites = sitesOf(analysis).filter((site) => spans?.includes(site.span.id) ?? true);
    return judgeDrafts(draftAll(sites, devices ?? null), analysis, options, null);
  }
  let known = remembered.of(analysis);
  if (!known) {
    known = { drafted: draftAll(sitesOf(analysis), null), judged: new Map() };
    remembered.keep(analysis, known);
  }
  const taste = options.taste ?? NO_TASTE;
  const last = options.lastChorus ?? false;
  const asked = `${options.tempo ?? ''}/${melodySounds(analysis, options)}`;
  const found = known.judged.get(`${asked}/${last}`);
  if (found?.taste === taste) return found;
  const other = known.judged.get(`${asked}/${!last}`);
  const like = other?.taste === taste ? other : null;
  const judged = judgeDrafts(known.drafted, analysis, options, like);
  if (known.judged.size >= SETTINGS) known.judged.clear();
  known.judged.set(`${asked}/${last}`, judged);
  return judged;
}

function draftAll(
  sites: readonly Site[],
  devices: readonly DeviceName[] | null,
): readonly Drafted[] {
  const twins = new Twins();
  return sites.map((place) => twins.draftsAt(place, (site) => draftSite(site, devices)));
}

/**
 * @param like what was judged of the same drafts where nothing but the last chorus differs, which only the
 *   sites at the form's end know of; null where nothing was
 */
function judgeDrafts(
  drafted: readonly Drafted[],
  analysis: Analysis,
  options: ProposeOptions,
  like: Judged | null,
): Judged {
  const setting: Setting = {
    tempo: options.tempo ?? WEIGHTS.rhythm.usualTempo,
    sounds: melodySounds(analysis, options),
    melodyWins: options.devices === undefined,
    lastChorus: options.lastChorus ?? false,
    taste: options.taste ?? NO_TASTE,
  };
  const sites = drafted.map((here, index) => {
    const known = endsForm(here.site) ? null : like?.sites[index];
    return known ?? judgeSite(here, setting);
  });
  return { taste: setting.taste, sites, all: sites.flat() };
}

/** Whether a melody sounds where the question is asked. */
function melodySounds(analysis: Analysis, options: ProposeOptions): boolean {
  return analysis.chorus.melody.length > 0 && (options.melodySounds ?? (options.chorus ?? 0) === 0);
}
