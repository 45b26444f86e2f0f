import { symbolOf } from '../../../shared-core/chord/format.ts';
import { keyName } from '../../../shared-core/pitch/key.ts';
import { readArgs } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { cadenceJson, chordJson, placeOf, spanJson, thinningsJson, tuneJson } from '../describe.ts';
import { forEachTune } from '../each.ts';
import type { Io } from '../io.ts';
import type { GivenTune } from '../session.ts';

/** Says how the harmony of tunes is understood. */
export const ANALYSE: CliCommand = {
  usage: 'analyse FILE|ID...',
  help: 'Key, numerals, functions, what each chord leads to, held stretches and cadences.',
  async run(args, io) {
    const typed = readArgs(args, {});
    return forEachTune(
      typed,
      io,
      ({ known: { tune, analysis } }, word) => ({
        file: word,
        tune: tuneJson(tune, analysis),
        chords: analysis.chords.map((reading) => chordJson(analysis, reading)),
        spans: analysis.spans.map((span) => spanJson(analysis, span)),
        cadences: analysis.cadences.map((cadence) => cadenceJson(analysis, cadence)),
        thinnings: thinningsJson(analysis),
      }),
      (_, tune) => printForPeople(tune, io),
    );
  },
};

function printForPeople({ known: { tune, analysis } }: GivenTune, io: Io): void {
  const inferred = analysis.keyInferred ? ' (inferred)' : '';
  const head = tuneJson(tune, analysis);
  io.out(`${tune.title}: ${head.key}${inferred}, ${head.meter}, ${head.bars} bars\n`);
  for (const reading of analysis.chords) {
    const { bar, beat } = placeOf(analysis, reading.start);
    const leads = reading.prepares === null ? undefined : analysis.chords[reading.prepares];
    const device = reading.device ? `  ${reading.device.replaceAll('-', ' ')}` : '';
    const to = leads ? `  leads to ${symbolOf(leads.harmony)}` : '';
    const place = `${bar}.${beat}`.padStart(6);
    const symbol = symbolOf(reading.harmony).padEnd(10);
    io.out(
      `${place}  ${symbol} ${reading.roman.padEnd(10)} ${keyName(reading.localKey).padEnd(9)} ${reading.function}${to}${device}\n`,
    );
  }
  for (const span of analysis.spans.filter((one) => one.stretch)) {
    const { bar, beat } = placeOf(analysis, span.start);
    const where = span.places.map((place) => place.replaceAll('-', ' ')).join(', ');
    io.out(
      `held: ${symbolOf(span.harmony)} from bar ${bar} beat ${beat}, ${span.beats} beats (${where})  ${span.id}\n`,
    );
  }
}
