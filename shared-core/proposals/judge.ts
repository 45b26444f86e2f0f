import type { DeviceName } from '../analysis/model.ts';
import { sameChord } from '../chord/same.ts';
import { DEVICES } from '../devices/index.ts';
import type { Carrier, Device, Rewrite, Site } from '../devices/model.ts';
import { inWhole, type Phrase, phrasesOf } from '../devices/phrases.ts';
import { beatTicks } from '../time/meter.ts';
import { clashesOf, verdictOf } from './clash.ts';
import { Departures } from './departures.ts';
import { idAt } from './id.ts';
import { keepWritten, type Written, writtenWays } from './keep-written.ts';
import { melodyFit, melodyForbids } from './melody-fit.ts';
import type { Proposal, Verdict } from './model.ts';
import type { Taste } from './taste.ts';
import { tensionAlong } from './tension.ts';
import { voiceLeading, voiceLeadingFigure } from './voice-leading.ts';
import { readablePerBar, rounded, WEIGHTS } from './weights.ts';

/** What every proposal of a tune is judged by besides the tune. */
export interface Setting {
  /** Counted beats a minute. */
  readonly tempo: number;
  /** Whether the melody sounds with it. */
  readonly sounds: boolean;
  readonly lastChorus: boolean;
  readonly taste: Taste;
  /** Only these devices, as asked for by name; null for every device. */
  readonly devices: readonly DeviceName[] | null;
}

/** A site with what the judging of all its proposals shares. */
interface Place {
  readonly site: Site;
  readonly setting: Setting;
  readonly departures: Departures;
  /** What is written there in more than one way; null where there is nothing to keep. */
  readonly written: readonly Written[] | null;
  /** Whether the last chorus ends here. */
  readonly ending: boolean;
  readonly bars: number;
  readonly beats: number;
  /** Chord changes that players can read in a bar. */
  readonly readable: number;
}

/** Every judged proposal of a site, at full freshness, in the order of the devices. */
export function judgeSite(site: Site, setting: Setting): Proposal[] {
  const judged: Proposal[] = [];
  const { devices } = setting;
  const place = placeOf(site, setting);
  const phrases = phrasesOf(site);
  // Asked for by name, a device may also take the first beat of a section from its written chord.
  const open = devices === null ? site : { ...site, keep: [] };
  for (const device of DEVICES) {
    if (devices !== null && !devices.includes(device.name)) continue;
    const rewrites = rewritesOf(device, open, phrases);
    for (let index = 0; index < rewrites.length; index++) {
      const rewrite = rewrites[index];
      if (rewrite === undefined || isCopy(rewrites, index)) continue;
      const proposal = judge(place, rewrite);
      if (proposal !== null) judged.push(proposal);
    }
  }
  return judged;
}

function placeOf(site: Site, setting: Setting): Place {
  return {
    site,
    setting,
    departures: new Departures(site),
    written: writtenWays(site),
    ending: setting.lastChorus && site.span.places.includes('end-of-form'),
    bars: site.length / (site.bars[0]?.length ?? site.length),
    beats: site.length / beatTicks(site.meter),
    readable: readablePerBar(setting.tempo),
  };
}

/** What a device writes at a site, and after that at the phrases inside it. */
function rewritesOf(device: Device, site: Site, phrases: readonly Phrase[]): readonly Rewrite[] {
  const rewrites = device.propose(site);
  if (phrases.length === 0) return rewrites;
  return [...rewrites, ...phrases.flatMap((phrase) => comingHome(device, phrase))];
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
 * Whether a rewrite of one device says what an earlier one says: in short bars two layouts may write the
 * same chords at the same places. A degree that is one note to play stays beside the chord it is a note of.
 * Two devices that write the same chords both stay: they are two ways to think, and a leader may look for
 * either by name.
 */
function isCopy(rewrites: readonly Rewrite[], index: number): boolean {
  const rewrite = rewrites[index];
  for (let before = 0; before < index; before++) {
    const other = rewrites[before];
    if (rewrite && other && writesTheSame(rewrite, other)) return true;
  }
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

/** Null where a tested note of a sounding melody speaks against it and the device was not asked for by name. */
function judge(place: Place, rewrite: Rewrite): Proposal | null {
  const { site, setting } = place;
  const { changes } = rewrite;
  const departures = place.departures.of(changes);
  const over = place.departures.melodyOver(departures);
  if (setting.sounds && setting.devices === null && melodyForbids(over)) return null;
  const fit = melodyFit(over);
  const verdict = verdictOf(site, rewrite, departures, place.ending);
  const led = voiceLeading(site, changes);
  const share = WEIGHTS.score;
  const score =
    voiceLeadingFigure(led) * share.voiceLeading +
    (setting.sounds ? fit.score : 1) * share.melodyFit +
    WEIGHTS.clash[verdict] * share.clash +
    rhythmFigure(place, changes.length) * share.rhythm +
    share.freshness +
    setting.taste.weightOf(rewrite.device, rewrite.degree) * share.taste;
  const printed = place.written === null ? changes : keepWritten(site, place.written, changes);
  const { tension, peak } = tensionAlong(site, printed);
  return {
    id: idAt(rewrite, site.span.id),
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
    voiceLeading: led.leading,
    clashes: clashesOf(departures),
    verdict,
    changesPerMinute: Math.round((changes.length * setting.tempo) / place.beats),
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

/** 1 while so many chords can be read in time. */
function rhythmFigure({ bars, readable }: Place, chords: number): number {
  const over = chords / bars - readable;
  return over <= 0 ? 1 : Math.max(0, 1 - over * WEIGHTS.rhythm.over);
}
