import type {
  Analysis,
  Cadence,
  ChordReading,
  StaticSpan,
} from '../../shared-core/analysis/model.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { notesOf } from '../../shared-core/chord/tones.ts';
import { keyName } from '../../shared-core/pitch/key.ts';
import { nameOf } from '../../shared-core/pitch/spelled.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { thinAt } from '../../shared-core/proposals/understand.ts';
import { beatTicks, meterName, type Ticks } from '../../shared-core/time/meter.ts';
import { barAt } from '../../shared-core/tune/address.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { countedBars } from '../app/tune-text.ts';

/** Bar as players number it (a pickup is 0) and counted beat from 1; past the form's end it goes on from the top. */
export function placeOf(
  analysis: Analysis,
  at: Ticks,
): { readonly bar: number; readonly beat: number } {
  const { chorus } = analysis;
  const bar = barAt(chorus, at);
  const inside = chorus.length === 0 ? 0 : at % chorus.length;
  return { bar: bar.number, beat: (inside - bar.start) / beatTicks(bar.meter) + 1 };
}

/** The head of a tune as the headless contract says it. */
export function tuneJson(tune: Tune, analysis: Analysis) {
  return {
    title: tune.title,
    key: keyName(analysis.key),
    keyInferred: analysis.keyInferred,
    meter: meterName(tune.meter),
    bars: countedBars(analysis),
    tempo: tune.tempo,
    feel: tune.feel,
    formType: analysis.formType,
  };
}

/** One chord understood. */
export function chordJson(analysis: Analysis, reading: ChordReading) {
  const { harmony } = reading;
  const chord = harmony.kind === 'chord' ? harmony : null;
  return {
    ...placeOf(analysis, reading.start),
    symbol: symbolOf(harmony),
    root: chord ? nameOf(chord.root) : null,
    quality: chord ? chord.quality.suffix : null,
    bass: chord?.bass == null ? null : nameOf(chord.bass),
    notes: notesOf(harmony).map(nameOf),
    localKey: keyName(reading.localKey),
    roman: reading.roman,
    function: reading.function,
    ...leadJson(analysis, reading),
    ...(reading.device === null ? {} : { device: reading.device }),
  };
}

/**
 * What a chord leads to. A goal that is held over several bars is several entries of `chords`: `arrives` is
 * the first of them, where the ear hears it; `prepares` the last, the head of the held goal, as published
 * treebanks of harmony write it. For a goal of one entry they are the same.
 */
function leadJson(analysis: Analysis, { index, prepares }: ChordReading) {
  if (prepares === null) return {};
  const { chords } = analysis;
  let last = prepares;
  const symbol = symbolAt(analysis, prepares);
  while (prepares > index && last + 1 < chords.length && symbolAt(analysis, last + 1) === symbol)
    last++;
  return { prepares: last, arrives: prepares };
}

function symbolAt(analysis: Analysis, index: number): string | null {
  const reading = analysis.chords[index];
  return reading ? symbolOf(reading.harmony) : null;
}

/**
 * What can be made plainer: one row for each chord with a recognised device that can be taken out, `index`
 * its place in `chords`; `bar` and `beat` say where the plainer changes begin.
 */
export function thinningsJson(analysis: Analysis) {
  return analysis.chords.flatMap(({ index }) => {
    const thinning = thinAt(analysis, index);
    const first = thinning && analysis.chords[thinning.first];
    if (!thinning || !first) return [];
    const changes = thinning.changes.map((change) => ({
      ...placeOf(analysis, first.start + change.at),
      symbol: symbolOf(change.harmony),
    }));
    return [{ index, device: thinning.device, ...placeOf(analysis, first.start), changes }];
  });
}

/** One held stretch. `next` is the symbol of the chord after it, `nextIndex` its place in `chords`. */
export function spanJson(analysis: Analysis, span: StaticSpan) {
  const next = span.next === null ? null : analysis.chords[span.next];
  return {
    id: span.id,
    ...spanPlace(analysis, span),
    beats: span.beats,
    symbol: symbolOf(span.harmony),
    localKey: keyName(span.localKey),
    next: next ? symbolOf(next.harmony) : null,
    nextIndex: span.next,
    firstChord: span.firstChord,
    stretch: span.stretch,
    places: span.places,
  };
}

function spanPlace(analysis: Analysis, span: StaticSpan) {
  const { bar, beat } = placeOf(analysis, span.start);
  return { startBar: bar, startBeat: beat };
}

/** One cadence, its chords by their places in `chords`. */
export function cadenceJson(analysis: Analysis, cadence: Cadence) {
  const arrival = analysis.chords[cadence.arrival];
  return {
    kind: cadence.kind,
    key: keyName(cadence.key),
    arrival: cadence.arrival,
    chords: cadence.chords,
    ...(arrival ? placeOf(analysis, arrival.start) : {}),
  };
}

/** A judged proposal: the figures of the contract, and under `detail` all that they were made from. */
export function proposalJson(analysis: Analysis, proposal: Proposal) {
  const at = (ticks: Ticks) => placeOf(analysis, proposal.start + ticks);
  const beat = beatTicks(analysis.chorus.bars[0]?.meter ?? { count: 4, unit: 4 });
  return {
    id: proposal.id,
    device: proposal.device,
    degree: proposal.degree,
    span: proposal.span,
    carrier: proposal.carrier,
    changes: proposal.changes.map((change) => ({
      ...at(change.at),
      beats: change.length / beat,
      symbol: symbolOf(change.harmony),
    })),
    tension: proposal.peak,
    melodyFit: proposal.melodyFit.score,
    voiceLeading: proposal.voiceLeading.semitones,
    clashes: proposal.clashes.map((clash) => ({
      ...at(clash.at),
      beats: clash.length / beat,
      soloist: nameOf(clash.soloNote),
      comping: nameOf(clash.compingNote),
      kind: clash.kind,
      words: clash.words,
    })),
    verdict: proposal.verdict,
    score: proposal.score,
    freshness: proposal.freshness,
    tells: proposal.tells === null ? null : nameOf(proposal.tells),
    home: proposal.home === null ? null : nameOf(proposal.home),
    reason: proposal.reason,
    detail: {
      tension: proposal.tension,
      changesPerMinute: proposal.changesPerMinute,
      voiceLeading: proposal.voiceLeading,
      bassMotion: proposal.bassMotion,
      usual: proposal.usual,
      melody: proposal.melodyFit.findings.map((finding) => ({
        ...at(finding.note.start),
        note: nameOf(finding.note.pitch.pc),
        fit: finding.fit,
        against: finding.against,
        weight: finding.weight,
      })),
    },
  };
}
