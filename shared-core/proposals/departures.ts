import type { Chord } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';
import { type Departure, departureOf } from './clash.ts';
import { fallsInto, type MelodyOver, melodyOver } from './melody-fit.ts';

const NO_MELODY: readonly MelodyOver[] = [];

/**
 * The departures of one site. Most rewrites of a site hold the same few chords at the same few places, so
 * each is looked at once, whichever rewrites hold it.
 */
export class Departures {
  readonly site: Site;
  readonly #byChord = new Map<Chord, Departure[]>();
  readonly #falling = new Map<Departure, MelodyOver>();
  readonly #resting = new Map<Departure, MelodyOver>();

  constructor(site: Site) {
    this.site = site;
  }

  /** The departures that the changes of a rewrite make, in order; null for N.C. */
  of(changes: readonly Change[]): readonly (Departure | null)[] {
    return changes.map((change) => this.#of(change));
  }

  #of(change: Change): Departure | null {
    const { at, length, harmony } = change;
    if (harmony.kind !== 'chord') return null;
    const known = this.#byChord.get(harmony);
    const found = known?.find((other) => other.at === at && other.length === length);
    if (found !== undefined) return found;
    const made = departureOf(this.site, at, length, harmony);
    if (known === undefined) this.#byChord.set(harmony, [made]);
    else known.push(made);
    return made;
  }

  /** What the melody does over the departures of a rewrite, in order; nothing where no melody is. */
  melodyOver(departures: readonly (Departure | null)[]): readonly MelodyOver[] {
    if (this.site.melody.length === 0) return NO_MELODY;
    const over: MelodyOver[] = [];
    for (let index = 0; index < departures.length; index++) {
      const departure = departures[index];
      if (!departure?.departs) continue;
      const next = departures[index + 1];
      const into = next === undefined ? this.site.next : (next?.chord ?? null);
      over.push(this.#melodyOver(departure, fallsInto(departure.chord, into)));
    }
    return over;
  }

  #melodyOver(departure: Departure, falls: boolean): MelodyOver {
    const known = falls ? this.#falling : this.#resting;
    let over = known.get(departure);
    if (over === undefined) {
      over = melodyOver(this.site, departure, falls);
      known.set(departure, over);
    }
    return over;
  }
}
