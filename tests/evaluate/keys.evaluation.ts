/** The tune's key with the key left out, against the key the corpus names. */
import { analyse } from '../../shared-core/analysis/analyse.ts';
import { type Key, keyName, parseKey } from '../../shared-core/pitch/key.ts';
import { chromaOf } from '../../shared-core/pitch/spelled.ts';
import {
  barsText,
  type CorpusName,
  type CorpusRow,
  corpus,
  corpusMissing,
  keyOf,
  readJson,
  tuneOf,
} from './corpus.ts';
import type { Evaluation, Measure } from './evaluation.ts';

/** How many wrong pieces are shown of each kind. */
const SHOWN = 10;

interface Guess {
  readonly id: string;
  readonly named: Key;
  readonly found: Key;
  readonly text: string;
  /** Whether the named tonic is the root of the first chord or of one in the last bars. */
  readonly atTheEdges: boolean;
}

/** The last bars of a form, its final cadence and turnaround in them. */
const LAST_BARS = 4;

function guesses(name: CorpusName): Guess[] {
  return corpus(name).flatMap((row) => {
    const named = keyOf(row);
    const analysis = analyse(tuneOf(row), []);
    if (named === null || !analysis.ok) return [];
    const { chords, chorus, key } = analysis.value;
    const tonic = chromaOf(named.tonic);
    const lastBars = chorus.bars.at(-LAST_BARS)?.start ?? 0;
    const sounding = chords.filter(({ harmony }) => harmony.kind === 'chord');
    const atTheEdges = sounding.some(
      ({ harmony, start, length }, index) =>
        harmony.kind === 'chord' &&
        chromaOf(harmony.root) === tonic &&
        (index === 0 || start + length > lastBars),
    );
    return [{ id: row.id, named, found: key, text: barsText(row), atTheEdges }];
  });
}

const sameTonic = ({ named, found }: Guess): boolean =>
  chromaOf(named.tonic) === chromaOf(found.tonic);
const sameMode = (guess: Guess): boolean =>
  sameTonic(guess) && guess.named.mode === guess.found.mode;

/** What kind of mistake it is, in words. */
function mistake({ named, found }: Guess): string {
  const up = (chromaOf(found.tonic) - chromaOf(named.tonic) + 12) % 12;
  if (up === 0) return 'parallel key';
  if (up === (named.mode === 'major' ? 9 : 3) && named.mode !== found.mode) return 'relative key';
  if (up === 7) return 'a fifth too high';
  if (up === 5) return 'a fifth too low';
  return 'another key';
}

function measures(name: CorpusName): Measure[] {
  const all = guesses(name);
  const wrong = all.filter((guess) => !sameMode(guess));
  const kinds = new Map<string, number>();
  for (const guess of wrong) kinds.set(mistake(guess), (kinds.get(mistake(guess)) ?? 0) + 1);
  const shown = wrong.slice(0, SHOWN).map((guess) => {
    const said = `corpus ${keyName(guess.named)}, found ${keyName(guess.found)} (${mistake(guess)})`;
    return `${guess.id} ${said}: ${guess.text.slice(0, 160)}`;
  });
  const summary = [...kinds].map(([kind, count]) => `${kind} ${count}`).join(', ');
  const spelled = all.filter(sameMode);
  return [
    { what: `${name}, tonic`, right: all.filter(sameTonic).length, of: all.length },
    {
      what: `${name}, tonic, where its chord stands first or in the last four bars`,
      right: all.filter((guess) => guess.atTheEdges && sameTonic(guess)).length,
      of: all.filter(({ atTheEdges }) => atTheEdges).length,
    },
    {
      what: `${name}, tonic and mode`,
      right: spelled.length,
      of: all.length,
      wrong: [summary, ...shown],
    },
    {
      what: `${name}, spelled as the corpus spells it (of those)`,
      right: spelled.filter(({ named, found }) => named.tonic === found.tonic).length,
      of: spelled.length,
    },
  ];
}

interface PopRow extends CorpusRow {
  readonly tonics: readonly (readonly [number, string])[];
}

/** Pop songs with one tonic throughout. No weight was ever set by them: how far the signs carry. */
function popMeasure(): Measure {
  const rows = (readJson('billboard-sample.json') as readonly PopRow[]).filter(
    ({ tonics }) => new Set(tonics.map(([, tonic]) => tonic)).size === 1,
  );
  const wrong = rows.flatMap((row) => {
    const named = parseKey(row.tonics[0]?.[1] ?? '');
    const analysis = analyse(tuneOf({ ...row, form: [] }), []);
    if (named === null || !analysis.ok) return [];
    const { key } = analysis.value;
    if (chromaOf(key.tonic) === chromaOf(named.tonic)) return [];
    return [`${row.id} corpus ${row.tonics[0]?.[1]}, found ${keyName(key)}`];
  });
  return {
    what: 'billboard, tonic (pop: no weight was set by it)',
    right: rows.length - wrong.length,
    of: rows.length,
    wrong: wrong.slice(0, SHOWN),
  };
}

const evaluation: Evaluation = {
  name: 'key left out',
  source:
    'The Jazz Harmony Treebank (CC BY-NC-SA 4.0), the Weimar Jazz Database, the Choro Songbook Corpus (CC BY-NC-SA 4.0); goal 95 % tonic and 93 % mode on the jazz rows. The root of the first chord alone is right for 71, 81 and 70 %',
  unavailable: corpusMissing,
  run: () => [...(['jht', 'wjd', 'choro'] as const).flatMap(measures), popMeasure()],
};

export default evaluation;
