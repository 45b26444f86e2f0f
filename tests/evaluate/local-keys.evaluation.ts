/** Local keys of choro tunes against the key the corpus names for each part. */
import { analyse } from '../../shared-core/analysis/analyse.ts';
import type { Analysis } from '../../shared-core/analysis/model.ts';
import { keyName, parseKey } from '../../shared-core/pitch/key.ts';
import { type CorpusRow, corpus, corpusMissing, tuneOf } from './corpus.ts';
import type { Evaluation, Measure } from './evaluation.ts';

/** Name of the key that sounds in each bar. */
function keysByBar(analysis: Analysis): string[] {
  let chord = 0;
  return analysis.chorus.bars.map((bar) => {
    while ((analysis.chords[chord + 1]?.start ?? Number.POSITIVE_INFINITY) <= bar.start) chord += 1;
    const key = analysis.chords[chord]?.localKey ?? analysis.key;
    return keyName(key);
  });
}

function mostCommon(names: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? 'none';
}

interface Part {
  readonly row: CorpusRow;
  readonly from: number;
  readonly to: number;
  readonly named: string;
  readonly found: string;
  /** As found, by the bars before an earlier part is written out again. */
  readonly foundBeforeReturn: string;
  readonly bars: number;
}

/** So many bars in a row like the beginning of an earlier part are that part written out again. */
const RETURN_BARS = 8;

/** First bar after `from` where an earlier part begins again; `to` when none does. */
function returnOf(texts: readonly string[], starts: readonly number[], from: number, to: number) {
  const earlier = starts.filter((start) => start < from);
  for (let at = from + 1; at + RETURN_BARS <= to; at += 1) {
    const again = (start: number): boolean =>
      texts.slice(at, at + RETURN_BARS).every((text, bar) => text === texts[start + bar]);
    if (earlier.some(again)) return at;
  }
  return to;
}

function partsOf(row: CorpusRow): Part[] {
  const analysis = analyse(tuneOf(row), []);
  const named = row.analysis?.localKeys ?? [];
  if (!analysis.ok) return [];
  const bars = keysByBar(analysis.value);
  const texts = row.bars.map((bar) => bar.map(({ symbol }) => symbol).join(' '));
  const starts = named.map(([start]) => start);
  return named.flatMap(([from, text], index) => {
    const key = parseKey(text);
    const to = named[index + 1]?.[0] ?? bars.length;
    if (key === null || to <= from) return [];
    const here = bars.slice(from, to);
    const right = here.filter((name) => name === keyName(key)).length;
    const foundBeforeReturn = mostCommon(bars.slice(from, returnOf(texts, starts, from, to)));
    const found = mostCommon(here);
    return [{ row, from, to, named: keyName(key), found, foundBeforeReturn, bars: right }];
  });
}

function run(): Measure[] {
  const parts = corpus('choro').flatMap(partsOf);
  const wrong = parts.filter(({ named, found }) => named !== found);
  const bars = parts.reduce((sum, { from, to }) => sum + to - from, 0);
  return [
    {
      what: 'choro parts whose main key is the named one',
      right: parts.length - wrong.length,
      of: parts.length,
      wrong: wrong
        .sort((a, b) => b.to - b.from - (a.to - a.from))
        .slice(0, 10)
        .map(
          ({ row, from, to, named, found }) =>
            `${row.id} bars ${from + 1}-${to}: corpus ${named}, found mostly ${found}`,
        ),
    },
    {
      what: 'the same, by the bars before an earlier part is written out again inside the part',
      right: parts.filter(({ named, foundBeforeReturn }) => named === foundBeforeReturn).length,
      of: parts.length,
    },
    {
      what: 'choro bars in the named key (a repeat of part A inside a later part counts as wrong)',
      right: parts.reduce((sum, part) => sum + part.bars, 0),
      of: bars,
    },
  ];
}

const evaluation: Evaluation = {
  name: 'local keys',
  source: 'The Choro Songbook Corpus, keys of the parts (CC BY-NC-SA 4.0); goal 90 % of the parts',
  unavailable: corpusMissing,
  run,
};

export default evaluation;
