import type { Analysis, DeviceName } from '../analysis/model.ts';
import { sitesOf } from '../devices/site.ts';
import { freshnessOf } from './freshness.ts';
import { judgeSite, type Setting } from './judge.ts';
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

/** Best first; ties by id, so that every machine lists alike. */
function better(a: Proposal, b: Proposal): number {
  return b.score - a.score || (a.id < b.id ? -1 : 1);
}

/** What was judged last, for one setting. */
interface Remembered {
  readonly taste: Taste;
  /** For each site, best first, at full freshness. */
  readonly sites: readonly (readonly Proposal[])[];
  /** The same in one list. */
  readonly all: readonly Proposal[];
}

/**
 * Judged proposals of the last analyses, by what they depend on. Choruses share them: from one chorus to
 * the next only freshness changes, so twelve choruses cost little more than one.
 */
const remembered = new WeakMap<Analysis, Map<string, Remembered>>();
/** Settings remembered for one analysis: with and without melody, last chorus or not, at two tempi. */
const SETTINGS = 8;

function judgeAll(analysis: Analysis, options: ProposeOptions): Remembered {
  if (options.devices || options.spans) return judgeSites(analysis, options);
  const key = `${options.tempo ?? ''}/${melodySounds(analysis, options)}/${options.lastChorus ?? false}`;
  let known = remembered.get(analysis);
  if (!known) {
    known = new Map();
    remembered.set(analysis, known);
  }
  const found = known.get(key);
  if (found?.taste === (options.taste ?? NO_TASTE)) return found;
  const judged = judgeSites(analysis, options);
  if (known.size >= SETTINGS) known.clear();
  known.set(key, judged);
  return judged;
}

function judgeSites(analysis: Analysis, options: ProposeOptions): Remembered {
  const setting: Setting = {
    tempo: options.tempo ?? WEIGHTS.rhythm.usualTempo,
    sounds: melodySounds(analysis, options),
    lastChorus: options.lastChorus ?? false,
    taste: options.taste ?? NO_TASTE,
    devices: options.devices ?? null,
  };
  const twins = new Twins();
  const sites = sitesOf(analysis)
    .filter((site) => options.spans?.includes(site.span.id) ?? true)
    .map((place) => twins.proposalsAt(place, (site) => judgeSite(site, setting).sort(better)));
  return { taste: setting.taste, sites, all: sites.flat() };
}

/** Whether a melody sounds where the question is asked. */
function melodySounds(analysis: Analysis, options: ProposeOptions): boolean {
  return analysis.chorus.melody.length > 0 && (options.melodySounds ?? (options.chorus ?? 0) === 0);
}
