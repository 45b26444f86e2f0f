import type { Key } from '../pitch/key.ts';
import { chromaOf } from '../pitch/spelled.ts';
import { ok, type Result } from '../result.ts';
import type { Chorus, Tune, TuneError } from '../tune/model.ts';
import { unroll } from '../tune/unroll.ts';
import { bluesFit, bluesReadings } from './blues.ts';
import { cadencesOf } from './cadences.ts';
import { keyNumber } from './evidence.ts';
import { parseArcs } from './grammar.ts';
import { localKeys } from './keys.ts';
import type { Analysis, Recogniser } from './model.ts';
import { baseReading, readChords } from './readings.ts';
import { recogniseAll } from './recognise.ts';
import { runsOf } from './runs.ts';
import { spansOf } from './spans.ts';
import { spellPath, spellTuneKey } from './spelling.ts';
import { inferKey } from './tune-key.ts';
import { BLUES } from './weights.ts';

/**
 * Understands a tune: its key (inferred when the tune names none), the key, numeral, function and goal
 * of every chord, the devices its changes already use, the stretches that stand still, the cadences.
 *
 * Pure and deterministic; time grows linearly with the bars.
 *
 * @param recognisers the devices, read backwards; see `devices/index.ts`
 * @returns the analysis, or the reason why the form could not be played out
 * @example analyse(readTune('| Dm7 | G7 | Cmaj7 | % |').tune, []) // key C major; ii7 V7 Imaj7
 */
export function analyse(
  tune: Tune,
  recognisers: readonly Recogniser[],
): Result<Analysis, TuneError> {
  const chorus = unroll(tune);
  if (!chorus.ok) return chorus;
  return ok(analyseChorus(chorus.value, tune.key, tune.tempo, recognisers));
}

/** The same for a chorus already played out. `written` null: the key is inferred. */
export function analyseChorus(
  chorus: Chorus,
  written: Key | null,
  tempo: number | null,
  recognisers: readonly Recogniser[],
): Analysis {
  const runs = runsOf(chorus);
  const home =
    written === null
      ? inferKey(chorus, runs)
      : keyNumber(chromaOf(written.tonic), written.mode === 'minor');
  const key = written ?? spellTuneKey(home, chorus);
  const formType = formTypeOf(chorus, home);
  const path = formType === null ? localKeys(runs, home) : new Uint8Array(runs.count).fill(home);
  const spelledPath = spellPath(path, runs, chorus, key, home);
  const keys = chorus.harmony.map((_, index) => spelledPath[runs.runOf[index] ?? 0] ?? key);
  const base = chorus.harmony.map((event, index) =>
    baseReading(chorus, event, index, keys[index] ?? key, formType !== null),
  );
  const recognised = recogniseAll(base, recognisers);
  const arcs = parseArcs({
    runs,
    keys: path,
    home,
    blues: formType !== null,
    extra: recognised.gains(runs),
  });
  const chords = readChords({ base, runs, arcs, recognised, blues: formType !== null });
  return {
    key,
    keyInferred: written === null,
    formType,
    chorus,
    chords,
    spans: spansOf(chorus, keys, tempo),
    cadences: cadencesOf(chorus, chords),
  };
}

/** Blues or minor blues when the fixed points of the form stand where they should. */
function formTypeOf(chorus: Chorus, home: number): Analysis['formType'] {
  if (bluesFit(bluesReadings(chorus), home >> 1, home % 2 === 1) < BLUES.threshold) return null;
  return home % 2 === 1 ? 'minor-blues' : 'blues';
}
