import type { DeviceName } from '../analysis/model.ts';
import { sameChord } from '../chord/same.ts';
import { standingOf } from '../devices/home.ts';
import { DEVICES } from '../devices/index.ts';
import type { Change, Device, Rewrite, Site } from '../devices/model.ts';
import { inWhole, type Phrase, phrasesOf } from '../devices/phrases.ts';
import { bassMotion } from './bass-motion.ts';
import { chordMoves } from './chord-moves.ts';
import { clashesOf, verdictOf } from './clash.ts';
import { Departures } from './departures.ts';
import { idAt } from './id.ts';
import { keepWritten, type Written, writtenWays } from './keep-written.ts';
import { melodyFit, melodyForbids } from './melody-fit.ts';
import type { Clash, MelodyFit, Verdict, VoiceLeading } from './model.ts';
import { tensionAlong } from './tension.ts';
import { voiceLeading, voiceLeadingFigure } from './voice-leading.ts';

/** A rewrite with all that can be judged of it before anything is known but the tune. */
export interface Draft {
  readonly id: string;
  readonly rewrite: Rewrite;
  /** The changes as they are printed: home in the words of the page. */
  readonly changes: readonly Change[];
  readonly melodyFit: MelodyFit;
  /** Whether a tested note of the melody speaks against it. */
  readonly forbidden: boolean;
  readonly voiceLeading: VoiceLeading;
  /** The figure of its voice leading, 0-1. */
  readonly led: number;
  /** How firmly its bass walks, 0-1. */
  readonly bassMotion: number;
  /** How usual the device is at such a site, 0-1. */
  readonly usual: number;
  readonly clashes: readonly Clash[];
  /** What it asks of the rhythm section anywhere but in the ending. */
  readonly verdict: Verdict;
  readonly tension: readonly number[];
  readonly peak: number;
}

/** A site and what may be proposed there. */
export interface Drafted {
  readonly site: Site;
  /** In the order of the devices. */
  readonly drafts: readonly Draft[];
}

/**
 * Everything the devices write at a site.
 *
 * @param devices only these, as asked for by name: they may then take the first beat of a section from its
 *   written chord; null for every device
 */
export function draftSite(site: Site, devices: readonly DeviceName[] | null): Drafted {
  const drafts: Draft[] = [];
  const standing = standingOf(site);
  const departures = new Departures(site);
  const written = writtenWays(site);
  const phrases = phrasesOf(site);
  const open = devices === null ? site : { ...site, keep: [] };
  for (const device of DEVICES) {
    if (devices !== null && !devices.includes(device.name)) continue;
    const rewrites = rewritesOf(device, open, phrases);
    const usual = device.usual[standing] ?? device.usual.elsewhere;
    for (let index = 0; index < rewrites.length; index++) {
      const rewrite = rewrites[index];
      if (rewrite === undefined || isCopy(rewrites, index)) continue;
      drafts.push(draftOf(site, rewrite, usual, departures, written));
    }
  }
  return { site, drafts };
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

/** @param written what stands at the site in several ways; null where there is nothing to keep */
function draftOf(
  site: Site,
  rewrite: Rewrite,
  usual: number,
  known: Departures,
  written: readonly Written[] | null,
): Draft {
  const { changes } = rewrite;
  const departures = known.of(changes);
  const over = known.melodyOver(departures);
  const moves = chordMoves(site, changes);
  const leading = voiceLeading(moves);
  const printed = written === null ? changes : keepWritten(site, written, changes);
  const { tension, peak } = tensionAlong(site, printed);
  return {
    id: idAt(rewrite, site.span.id),
    rewrite,
    changes: printed,
    melodyFit: melodyFit(over),
    forbidden: melodyForbids(over),
    voiceLeading: leading,
    led: voiceLeadingFigure(leading, moves.length),
    bassMotion: bassMotion(moves),
    usual,
    clashes: clashesOf(departures),
    verdict: verdictOf(site, rewrite, departures),
    tension,
    peak,
  };
}
