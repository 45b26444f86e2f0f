import type { Analysis } from '../../shared-core/analysis/model.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import type { Answer, ContractError } from '../../shared-core/contract/errors.ts';
import { keyName } from '../../shared-core/pitch/key.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import { meterName } from '../../shared-core/time/meter.ts';
import { tuneMessage } from '../../shared-core/tune/messages.ts';
import type { Tune, TuneError } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import type { TuneEntry } from '../library/tunes.ts';
import { success } from './failures.ts';

/** A tune together with what the engine makes of it. */
export interface KnownTune {
  readonly tune: Tune;
  readonly analysis: Analysis;
}

/** Most mistakes listed one by one; a page of noise has thousands. */
const PROBLEM_LIMIT = 100;

/** One mistake in a tune as the contract says it. */
export function fromTune(error: TuneError): ContractError {
  return {
    code: error.code,
    place: error.place,
    data: error.data,
    message: tuneMessage(error),
  };
}

/**
 * Reads and understands tune text. All mistakes are answered at once, the first of them as the error
 * itself; a text with a mistake is no tune to keep, because a wrong chord would be printed.
 */
export function knowTune(text: string): Answer<KnownTune> {
  const reading = readTune(text);
  const [first] = reading.errors;
  if (first) return refuse(reading.errors, first);
  if (!reading.tune) throw new Error('A tune text without mistakes gave no tune');
  return understandTune(reading.tune);
}

/** Understands a tune that was read or imported. */
export function understandTune(tune: Tune): Answer<KnownTune> {
  const analysis = understand(tune);
  if (!analysis.ok) return { ok: false, error: fromTune(analysis.error) };
  return success({ tune, analysis: analysis.value });
}

function refuse(errors: readonly TuneError[], first: TuneError): Answer<never> {
  const problems = errors.slice(0, PROBLEM_LIMIT).map(fromTune);
  return { ok: false, error: { ...fromTune(first), problems } };
}

/** What the library keeps of a tune. */
export function entryOf({ tune, analysis }: KnownTune): TuneEntry {
  const bars = analysis.chorus.bars;
  const symbols = analysis.chorus.harmony.map((event) => symbolOf(event.harmony));
  return {
    text: writeTune(tune),
    title: tune.title,
    credit: tune.credit,
    key: keyName(analysis.key),
    keyInferred: analysis.keyInferred,
    meter: meterName(tune.meter),
    tempo: tune.tempo,
    feel: tune.feel,
    form: bars
      .filter((bar) => bar.startsSection)
      .map((bar) => bar.label)
      .join(' '),
    bars: countedBars(analysis),
    symbols: [...new Set(symbols)],
  };
}

/** Bars of one chorus as players count them: a pickup is none. */
export function countedBars(analysis: Analysis): number {
  return analysis.chorus.bars.filter((bar) => bar.number > 0).length;
}

/** What a person should know about a tune that was taken in. */
export function remarksOn({ analysis }: KnownTune): readonly string[] {
  return analysis.keyInferred
    ? [`No key is given; it was taken to be ${keyName(analysis.key)}.`]
    : [];
}
