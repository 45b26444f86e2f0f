/** Runs of one chord in modal tunes come out as one held stretch, and blues forms are seen. */
import { analyse } from '../../shared-core/analysis/analyse.ts';
import { beatsPerBar } from '../../shared-core/time/meter.ts';
import { type CorpusRow, corpus, corpusMissing, symbolsOf, tuneOf } from './corpus.ts';
import type { Evaluation, Measure } from './evaluation.ts';

/** Runs of two bars and more of one symbol, one to the bar, as [first bar, bars]; bars from 1. */
function runsOf(row: CorpusRow): (readonly [number, number])[] {
  const bars = row.bars.map((bar) => (bar.length === 1 ? (bar[0]?.symbol ?? '') : ''));
  const runs: (readonly [number, number])[] = [];
  let start = 0;
  for (let at = 1; at <= bars.length; at += 1) {
    if (at < bars.length && bars[at] !== '' && bars[at] === bars[start]) continue;
    if (bars[start] !== '' && at - start >= 2) runs.push([start + 1, at - start]);
    start = at;
  }
  return runs;
}

function modal(): Measure {
  const rows = corpus('wjd').filter((row) => row.analysis?.tonalityType === 'MODAL');
  let of = 0;
  const wrong: string[] = [];
  for (const row of rows) {
    const tune = tuneOf(row);
    const analysis = analyse(tune, []);
    if (!analysis.ok) continue;
    const total = row.bars.length;
    for (const [bar, length] of runsOf(row)) {
      of += 1;
      const held = analysis.value.spans.some(({ startBar, beats, stretch }) => {
        const bars = beats / beatsPerBar(tune.meter);
        const starts = [startBar, startBar - total];
        return stretch && starts.some((from) => from <= bar && from + bars >= bar + length);
      });
      if (!held) wrong.push(`${row.id} bar ${bar}, ${length} bars: ${symbolsOf(row)[0]}`);
    }
  }
  return { what: 'modal rows, runs of one chord held as one', right: of - wrong.length, of, wrong };
}

function blues(): Measure[] {
  const rows = corpus('wjd').filter((row) => row.analysis?.tonalityType !== undefined);
  const isBlues = (row: CorpusRow): boolean => row.analysis?.template === 'Blues';
  const found = (row: CorpusRow): boolean => {
    const analysis = analyse(tuneOf(row), []);
    return analysis.ok && analysis.value.formType !== null;
  };
  const named = rows.filter(isBlues);
  const others = rows.filter((row) => !isBlues(row));
  const missed = named.filter((row) => !found(row));
  return [
    {
      what: 'wjd blues seen as blues',
      right: named.length - missed.length,
      of: named.length,
      wrong: missed.map((row) => `${row.id}: ${symbolsOf(row).join(' ')}`),
    },
    {
      what: 'wjd other forms not taken for blues',
      right: others.filter((row) => !found(row)).length,
      of: others.length,
    },
  ];
}

const evaluation: Evaluation = {
  name: 'held stretches and forms',
  source: 'The Weimar Jazz Database, tonality types and templates',
  unavailable: corpusMissing,
  run: () => [modal(), ...blues()],
};

export default evaluation;
