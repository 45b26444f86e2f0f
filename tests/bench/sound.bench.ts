import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type { Chord } from '../../shared-core/chord/model.ts';
import { exampleLine } from '../../shared-core/line/line.ts';
import { midiBytes } from '../../shared-core/performance/midi.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import type { Chorus, Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { type PathOptions, voicePath } from '../../shared-core/voicing/path.ts';
import { TEST_BAND } from '../support/band.ts';
import type { Bench } from './measure.ts';

const BARS = ['Dm7', 'G7', 'Cmaj7', 'A7', 'Fmaj7', 'Bb7', 'Em7', 'A7b9'];
const KEY = { tonic: 0, mode: 'major' } as const;
/** A tune of so many bars with two chords in each, in eight-bar sections. */
function tuneOf(bars: number): { tune: Tune; chorus: Chorus } {
  const sections = Array.from({ length: bars / 8 }, (_, section) => {
    const line = Array.from(
      { length: 8 },
      (_, bar) => `${BARS[(bar * 3 + section) % 8]} ${BARS[(bar + section) % 8]}`,
    );
    return `[${String.fromCharCode(65 + section)}]\n| ${line.join(' | ')} |\n`;
  });
  const { tune } = readTune(`title: Bench\nkey: C\nmeter: 4/4\ntempo: 160\n${sections.join('\n')}`);
  const chorus = tune && unroll(tune);
  if (!tune || !chorus?.ok) throw new Error('The bench tune was not read');
  return { tune, chorus: chorus.value };
}

function chordsOf(chorus: Chorus): (Chord | null)[] {
  return chorus.harmony.map(({ harmony }) => (harmony.kind === 'chord' ? harmony : null));
}

const short = tuneOf(32);
const long = tuneOf(64);
const chords = chordsOf(short.chorus);
const arrangement = emptyArrangement('Bench', 12);

let run = 0;
/** A guitar tuned as none before it, so that every shape is looked for afresh. */
function freshGuitar(): PathOptions {
  run += 1;
  const tuning = [40, 45, 50, 55, 59, 64].map(
    (open, string) => open - (Math.floor(run / 3 ** string) % 3),
  );
  return { instrument: 'guitar', withBass: true, guitar: { tuning, highestFret: 15, capo: 0 } };
}

const benches: readonly Bench[] = [
  {
    name: 'voicing path for 32 bars, guitar',
    budget: 20,
    run: () => voicePath(chords, { instrument: 'guitar', withBass: true }),
  },
  {
    name: 'voicing path for 32 bars, guitar in a tuning never seen before',
    budget: 20,
    run: () => voicePath(chords, freshGuitar()),
  },
  {
    name: 'voicing path for 32 bars, piano',
    budget: 20,
    run: () => voicePath(chords, { instrument: 'piano', withBass: true }),
  },
  {
    name: 'MIDI of 12 choruses of 64 bars',
    budget: 30,
    run: () => midiBytes(perform({ ...long, key: KEY, state: arrangement, band: TEST_BAND })),
  },
  {
    name: 'example line for 32 bars',
    budget: 50,
    run: () =>
      exampleLine({
        bars: short.chorus.bars,
        harmony: short.chorus.harmony,
        key: KEY,
        compass: { low: 55, high: 82 },
        degree: 'busy',
        seed: 1,
      }),
  },
];

export default benches;
