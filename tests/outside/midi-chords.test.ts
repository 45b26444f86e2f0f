import ToneMidi from '@tonejs/midi';
import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { importFile } from '../../main/interchange/index.ts';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type { ArrangementState } from '../../shared-core/arrangement/model.ts';
import { realise, repeatHarmony } from '../../shared-core/arrangement/realise.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { midiBytes } from '../../shared-core/performance/midi.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import type { PerformOptions } from '../../shared-core/performance/stage.ts';
import { meterName } from '../../shared-core/time/meter.ts';
import type { Chorus, TimedHarmony, Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import { type KnownTune, tuneOf } from '../support/parts.ts';
import { SAMPLE_BAND, sample, sampleNames } from '../support/samples.ts';

/**
 * The chord symbols of our MIDI files. A text event (type 1) may hold any text that describes what is played:
 * Standard MIDI Files 1.0 (RP-001). That it holds one chord symbol is common practice, no source. The files
 * are read by two general libraries, and by our own reader as a tune again.
 */

function bytesOf(
  { tune, analysis }: KnownTune,
  state: ArrangementState,
  options: PerformOptions = {},
): Uint8Array {
  const { chorus, key } = analysis;
  return midiBytes(perform({ tune, chorus, key, state, band: SAMPLE_BAND, options }));
}

async function readBack(bytes: Uint8Array): Promise<{ tune: Tune; chorus: Chorus }> {
  const read = await importFile('back.mid', bytes);
  const tune = read.ok ? read.value.tunes[0] : undefined;
  const chorus = tune && unroll(tune);
  if (!tune || !chorus?.ok) throw new Error('The MIDI file was not read as a tune');
  return { tune, chorus: chorus.value };
}

/** Text events of the first track with absolute ticks, as a raw parser sees them. */
function rawTexts(bytes: Uint8Array): { at: number; text: string }[] {
  let at = 0;
  return (parseMidi(bytes).tracks[0] ?? []).flatMap((event) => {
    at += event.deltaTime;
    return event.type === 'text' ? [{ at, text: event.text }] : [];
  });
}

const written = (line: readonly TimedHarmony[]): string[] =>
  line.map(({ start, harmony }) => `${symbolOf(harmony)}@${start}`);
const barsOf = ({ bars }: Chorus, times = 1): string[] =>
  Array.from({ length: times }, () =>
    bars.map(({ meter, length }) => `${meterName(meter)}:${length}`),
  ).flat();

describe.each(sampleNames())('the arrangement of %s as MIDI', (name) => {
  const one = sample(name);
  const bytes = bytesOf(one, one.state);
  const { band, choruses } = realise(one.analysis.chorus, one.state);

  it('gives back the bars and the changes of the band in every chorus', async () => {
    const { chorus } = await readBack(bytes);
    expect(barsOf(chorus)).toEqual(barsOf(one.analysis.chorus, choruses.length));
    expect(written(chorus.harmony)).toEqual(written(band));
  });

  it('gives back choruses and sections by name, in a tune that can be written down', async () => {
    const { tune } = await readBack(bytes);
    const labels = tune.sections.map(({ label }) => label).join(' / ');
    const { bars } = one.analysis.chorus;
    const letters = bars.filter(({ startsSection }) => startsSection).map(({ label }) => label);
    const lead = bars[0]?.startsSection ? ' ' : ' / ';
    const heads = ['Head', 'Tenor solo', 'Tenor solo', 'Trumpet solo', 'Head out'];
    expect(labels).toBe(
      heads.map((head, i) => `Chorus ${i + 1}: ${head}${lead}${letters.join(' / ')}`).join(' / '),
    );
    expect(readTune(writeTune(tune))).toEqual({ tune, errors: [] });
  });

  it('says the same symbols at the same ticks to a raw parser, in plain ASCII', () => {
    const { countIn } = perform({
      ...one,
      chorus: one.analysis.chorus,
      key: one.analysis.key,
      band: SAMPLE_BAND,
    });
    const texts = rawTexts(bytes);
    expect(texts).toEqual(
      band.map(({ start, harmony }) => ({ at: start + countIn, text: symbolOf(harmony) })),
    );
    for (const { text } of texts) expect(text).toMatch(/^[\x20-\x7e]+$/u);
    const { meta } = new ToneMidi.Midi(bytes).header;
    expect(
      meta.flatMap((event) => (event.type === 'text' ? [`${event.text}@${event.ticks}`] : [])),
    ).toEqual(texts.map(({ at, text }) => `${text}@${at}`));
  });

  it('is the same bytes every time', () => {
    expect(bytesOf(one, one.state)).toEqual(bytes);
  });
});

describe('a tune as MIDI', () => {
  const head = 'key: Eb\nmeter: 4/4\ntempo: 200\nfeel: swing';

  it.each([
    [
      'a pickup that the last bar makes up for',
      `${head}\npickup: 1`,
      '| N.C. | Eb | Cm7 / / Fm7 | (3 beats) Bb7 |',
    ],
    ['a pickup and a last bar that is whole', `${head}\npickup: 1`, '| Bb7 | Eb | Cm7 F7 | Bb7 |'],
    ['a change of meter', 'key: Eb\nmeter: 3/4', '| Ebmaj7 | (4/4) Abm6 Db7 | (3/4) Gm7b5 |'],
    ['bars of 6/8', 'key: F# minor\nmeter: 6/8', '| F#m(maj7) | B7 C#7#5#9 | N.C. |'],
    ['bars of 5/4', 'key: Cb\nmeter: 5/4', '| Cb6/9 / / Fb7#11 / | (Ebbmaj7) | Gb7sus4/Db |'],
    ['bars that say nothing new', head, '| Eb | % | | Eb Eb |'],
  ])('comes back with %s', async (_what, lines, bars) => {
    const known = tuneOf(`title: T\n${lines}\n\n[A]\n${bars}\n`);
    for (const countInBars of [0, 1, 2]) {
      const { chorus } = await readBack(bytesOf(known, emptyArrangement('T', 3), { countInBars }));
      expect(barsOf(chorus)).toEqual(barsOf(known.analysis.chorus, 3));
      expect(written(chorus.harmony)).toEqual(written(repeatHarmony(known.analysis.chorus, 3)));
    }
  });

  it('without section names has none in its markers', async () => {
    const known = tuneOf(`title: T\n${head}\n\n| Eb | Bb7 |\n`);
    const { tune } = await readBack(bytesOf(known, emptyArrangement('T', 2)));
    expect(tune.sections.map(({ label }) => label)).toEqual(['Chorus 1', 'Chorus 2']);
  });

  it('of one chorus begins with the chord that rings on into it', async () => {
    const known = tuneOf(`title: T\n${head}\n\n[A]\n| | Fm7 | Bb7 |\n`);
    const bytes = bytesOf(known, emptyArrangement('T', 3), {
      choruses: { from: 1, to: 1 },
      countInBars: 1,
    });
    expect(rawTexts(bytes)).toEqual([
      { at: 3840, text: 'N.C.' },
      { at: 7680, text: 'Fm7' },
      { at: 11520, text: 'Bb7' },
    ]);
  });
});
