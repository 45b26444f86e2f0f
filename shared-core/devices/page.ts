import type { Analysis } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { inSignature } from '../pitch/copyist.ts';
import type { Key } from '../pitch/key.ts';
import { type Chroma, chromaOf, type Spelled } from '../pitch/spelled.ts';
import type { Site } from './model.ts';

/**
 * What a reader already knows where a chord is to be printed: the key signature, the names on the page and
 * the chords right beside. The spelling of roots (`spelling.ts`) goes by it.
 */

/** Where a chord is to be printed: a key alone, or a site with the page around it. */
export type Place = Key | Site;

/** What is known at a place; worked out once for all places that know the same. */
export interface Surroundings {
  readonly key: Key;
  /** The key and that of the held chord as a home of its own. */
  readonly keys: readonly Key[];
  /** The key of the next chord as a home of its own; empty where it is none. */
  readonly ahead: readonly Key[];
  /** The held chord as a home in major; null where it is none. */
  readonly home: Key | null;
  /** By chroma, the name of a root in the chords beside: one proposal, one name. Null where there is none. */
  readonly beside: readonly (Spelled | null)[];
  /** By chroma, that name, else the one under which the sound stands on the page. Null where there is none, or two. */
  readonly written: readonly (Spelled | null)[];
  /** By chroma, the name in the key signature; null where it is not in it. */
  readonly signature: readonly (Spelled | null)[];
  /** What it costs a reader to meet a root by that name here, as far as it was asked. */
  readonly nameCosts: Map<Spelled, number>;
  /** Chords already spelled here, by suffix and root. */
  readonly spelled: Map<string, Map<Spelled, Chord>>;
}

const byPlace = new WeakMap<Place, Surroundings>();
const byPage = new WeakMap<Analysis, Page>();

/** What all sites of one tune share. */
interface Page {
  /** By chroma, the one name of a root in the written changes. */
  readonly names: readonly (Spelled | null)[];
  readonly surroundings: Map<number, Surroundings>;
}

/** What is known at a place. */
export function surroundingsOf(place: Place): Surroundings {
  let known = byPlace.get(place);
  if (known === undefined) {
    known = 'key' in place ? onPage(place) : around(place, null);
    byPlace.set(place, known);
  }
  return known;
}

/** Sites of one page with the same key and the same chords beside know the same. */
function onPage(site: Site): Surroundings {
  let page = byPage.get(site.analysis);
  if (page === undefined) {
    page = { names: rootsOnPage(site.analysis), surroundings: new Map() };
    byPage.set(site.analysis, page);
  }
  const { key, held, next } = site;
  const tonic = (key.tonic + 64) * 2 + Number(key.mode === 'minor');
  const beside = homeId(held) * 512 + (next === null ? 511 : homeId(next));
  const id = beside * 256 + tonic;
  let known = page.surroundings.get(id);
  if (known === undefined) {
    known = around(key, site, page.names);
    page.surroundings.set(id, known);
  }
  return known;
}

function around(key: Key, site: Site | null, page: readonly (Spelled | null)[] = []): Surroundings {
  const chords = site === null ? [] : [site.held, ...(site.next === null ? [] : [site.next])];
  const beside = byChroma((chroma) => chords.find(({ root }) => chromaOf(root) === chroma)?.root);
  const written = byChroma((chroma) => beside[chroma] ?? page[chroma]);
  const names = Array.from({ length: 31 }, (_, i) => i - 15).filter((pc) => inSignature(key, pc));
  const signature = byChroma((chroma) => names.find((pc) => chromaOf(pc) === chroma));
  const [own] = site === null ? [] : homesOf(site.held);
  const home = own?.mode === 'major' ? own : null;
  const keys = [key, ...(own === undefined ? [] : [own])];
  const ahead = site === null || site.next === null ? [] : homesOf(site.next);
  const known = { nameCosts: new Map(), spelled: new Map() };
  return { key, keys, ahead, home, beside, written, signature, ...known };
}

function byChroma(
  name: (chroma: Chroma) => Spelled | null | undefined,
): readonly (Spelled | null)[] {
  return Array.from({ length: 12 }, (_, chroma) => name(chroma) ?? null);
}

/** By chroma, the one name of a root in the written changes. */
function rootsOnPage({ chords }: Analysis): readonly (Spelled | null)[] {
  const found: Set<Spelled>[] = Array.from({ length: 12 }, () => new Set<Spelled>());
  for (const { harmony } of chords) {
    if (harmony.kind === 'chord') found[chromaOf(harmony.root)]?.add(harmony.root);
  }
  return found.map((names) => (names.size === 1 ? ([...names][0] ?? null) : null));
}

/** The key a chord is home in; none for a chord that is no home. */
function homesOf({ root, quality }: Chord): readonly Key[] {
  if (quality.family === 'major') return [{ tonic: root, mode: 'major' }];
  const minor = quality.family === 'minor' || quality.family === 'half-diminished';
  return minor ? [{ tonic: root, mode: 'minor' }] : [];
}

/** Root and kind of home of a chord beside, below 511. */
function homeId(chord: Chord): number {
  const [home] = homesOf(chord);
  return (chord.root + 32) * 4 + (home === undefined ? 2 : Number(home.mode === 'minor'));
}
