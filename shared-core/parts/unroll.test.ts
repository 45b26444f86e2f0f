import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  anyArrangement,
  anyTune,
  arrangementOf,
  BAND,
  partOf,
  tuneOf,
} from '../../tests/support/parts.ts';
import { anyTune as anyWrittenTune } from '../../tests/support/tunes.ts';
import { emptyArrangement } from '../arrangement/fold.ts';
import { realise } from '../arrangement/realise.ts';
import { soloistOf } from '../arrangement/soloist-of.ts';
import { symbolOf } from '../chord/format.ts';
import { chromaSetOf } from '../chord/tones.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { unroll } from '../tune/unroll.ts';
import { writeTune } from '../tune/write.ts';
import { concertLine, unrollPart } from './unroll.ts';

/** What sounds when, neighbours that sound the same joined; optional brackets and spelling aside. */
function heard(line: readonly TimedHarmony[]): readonly string[] {
  let last = '';
  return line.flatMap(({ start, harmony }) => {
    const sound =
      harmony.kind === 'none' ? 'N.C.' : `${chromaSetOf(harmony)} ${harmony.quality.suffix}`;
    if (sound === last) return [];
    last = sound;
    return [`${start}: ${sound}`];
  });
}

/** Every symbol where it is first said: a chord that goes on may be said again. */
function spelledOut(line: readonly TimedHarmony[]): readonly string[] {
  return line
    .filter(({ harmony }, at) => {
      const before = line[at - 1];
      return !before || symbolOf(before.harmony) !== symbolOf(harmony);
    })
    .map(({ start, harmony }) => `${start}: ${symbolOf(harmony)}`);
}

/** What of a line sounds in a stretch. */
function within(
  line: readonly TimedHarmony[],
  from: number,
  length: number,
): readonly TimedHarmony[] {
  return line
    .filter((event) => event.start < from + length && event.start + event.length > from)
    .map((event) => ({ ...event, start: Math.max(event.start, from) }));
}

const LAYOUTS = ['auto', 'compact', 'written-out'] as const;

const ARRANGED = anyTune.chain((known) => anyArrangement(known).map((state) => ({ known, state })));

describe('a chart followed as printed', () => {
  it('gives exactly the arrangement, for every chair of the rhythm section and every layout', () => {
    fc.assert(
      fc.property(
        ARRANGED,
        fc.constantFrom(...LAYOUTS),
        fc.constantFrom('guitar', 'bass'),
        ({ known, state }, layout, chair) => {
          const part = partOf(known, state, chair, { layout });
          const real = realise(known.analysis.chorus, state);
          expect(heard(concertLine(part, 'band'))).toEqual(heard(real.band));
          expect(spelledOut(concertLine(part, 'band'))).toEqual(spelledOut(real.band));
        },
      ),
      { numRuns: 100 },
    );
  });

  it('gives a soloist both layers of its own choruses exactly, and a rest of the right length for those of others', () => {
    fc.assert(
      fc.property(
        ARRANGED,
        fc.constantFrom(...LAYOUTS),
        fc.constantFrom('tenor', 'alto', 'trombone'),
        ({ known, state }, layout, chair) => {
          const part = partOf(known, state, chair, { layout });
          const real = realise(known.analysis.chorus, state);
          const { length } = known.analysis.chorus;
          const [band, solo] = [concertLine(part, 'band'), concertLine(part, 'solo')];
          for (const plan of real.choruses) {
            const owner = soloistOf(
              plan,
              real.choruses,
              BAND,
              known.analysis.chorus.melody.length > 0,
            );
            const own = owner === null || owner === chair;
            const from = plan.order * length;
            const wanted = (line: readonly TimedHarmony[]): readonly string[] =>
              heard(within(line, from, length));
            const shown = own || layout === 'written-out';
            expect(wanted(band)).toEqual(shown ? wanted(real.band) : []);
            if (own) expect(wanted(solo)).toEqual(wanted(real.solo));
            const played = unrollPart(part).filter((bar) => bar.chorus === plan.order + 1);
            expect(played.map(({ measure }) => measure.length)).toEqual(
              known.analysis.chorus.bars.map((bar) => bar.length),
            );
            for (const { measure, rests } of played) {
              expect(rests).toBe(!shown);
              if (!own) expect(measure.events.map(({ kind }) => kind)).toEqual(['rest']);
            }
          }
        },
      ),
      { numRuns: 150 },
    );
  });

  it('keeps the rest of a section that begins as a repeat inside it does', () => {
    const known = tuneOf('title: T\nkey: C\n\n[A]\n|: C | D :| E |1 F :|2 G |');
    const line = concertLine(partOf(known, emptyArrangement('T', 1), 'guitar'), 'band');
    expect(line.map(({ harmony }) => symbolOf(harmony)).join(' ')).toBe('C D C D E F E G');
  });

  it('plays what the tune plays, whatever its repeats, endings and jumps', () => {
    const input = anyWrittenTune.filter((tune) => {
      const chorus = unroll(tune);
      return chorus.ok && chorus.value.bars.length <= 120;
    });
    fc.assert(
      fc.property(input, fc.constantFrom(1, 3), (tune, choruses) => {
        const known = tuneOf(writeTune(tune));
        const state = emptyArrangement('T', choruses);
        const part = partOf(known, state, 'guitar');
        const { bars } = known.analysis.chorus;
        const lengths = Array.from({ length: choruses }, () => bars.map(({ length }) => length));
        expect(unrollPart(part).map(({ measure }) => measure.length)).toEqual(lengths.flat());
        const real = realise(known.analysis.chorus, state);
        expect(heard(concertLine(part, 'band'))).toEqual(heard(real.band));
      }),
      { numRuns: 100 },
    );
  });

  it('plays every bar of every chorus once, in order', () => {
    const input = anyTune.chain((known) =>
      anyArrangement(known).map((state) => ({ known, state })),
    );
    fc.assert(
      fc.property(input, fc.constantFrom('auto', 'compact'), ({ known, state }, layout) => {
        for (const { id } of BAND.chairs) {
          const part = partOf(known, state, id, { layout });
          const played = unrollPart(part).map(({ chorus, bar }) => `${chorus}.${bar}`);
          const wanted = Array.from({ length: part.choruses }, (_, chorus) =>
            known.analysis.chorus.bars.map((_bar, index) => `${chorus + 1}.${index}`),
          ).flat();
          expect(played).toEqual(wanted);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('fills every bar with events, without gap or overlap', () => {
    const input = anyTune.chain((known) =>
      anyArrangement(known).map((state) => ({ known, state })),
    );
    fc.assert(
      fc.property(input, ({ known, state }) => {
        for (const { id } of BAND.chairs) {
          const options = { voicings: true, walkingLine: true };
          for (const { measure } of unrollPart(partOf(known, state, id, options))) {
            let at = 0;
            for (const event of measure.events) {
              expect(event.at).toBe(at);
              expect(event.length).toBeGreaterThan(0);
              at += event.length;
            }
            expect(at).toBe(measure.length);
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it('shows cues only in the choruses they are for', () => {
    const known = tuneOf('title: T\nkey: C major\nmeter: 4/4\n\n| Cmaj7 | Cmaj7 | Dm7 | G7 |\n');
    const state = arrangementOf(
      known,
      ['One', 'Two', 'Three'],
      [{ chorus: 2, layer: 'soloist', bar: 2, changes: [[4, 'Fm6']] }],
    );
    const part = partOf(known, state, 'guitar');
    expect(part.blocks).toHaveLength(1);
    const cued = unrollPart(part).filter(({ measure }) => measure.cues.length > 0);
    expect(cued.map(({ chorus, bar }) => [chorus, bar])).toEqual([[2, 1]]);
  });

  it('names a chorus once for a cue, and says nothing while a rewrite still rests at home', () => {
    const known = tuneOf('title: T\nkey: C major\nmeter: 4/4\n\n| Cmaj7 | Cmaj7 | Dm7 | G7 |\n');
    const state = arrangementOf(
      known,
      [null, null],
      [
        {
          chorus: 2,
          layer: 'soloist',
          bar: 1,
          changes: [
            [4, 'Cmaj7'],
            [4, 'Fm6'],
          ],
        },
        {
          chorus: 2,
          layer: 'soloist',
          bar: 3,
          changes: [
            [2, 'Dm7'],
            [2, 'Ab7'],
          ],
        },
      ],
    );
    const cues = partOf(known, state, 'guitar').blocks.flatMap(({ measures }) =>
      measures.flatMap((measure) => measure.cues.map((cue) => ({ bar: measure.number, ...cue }))),
    );
    expect(cues.map(({ bar, at, words, choruses }) => [bar, at, words, choruses])).toEqual([
      [2, 0, 'over the top', [2]],
      [3, 1920, 'over the top', [2]],
    ]);
  });

  it('asks for a thing once where two rewrites of one chorus meet in a bar', () => {
    const known = tuneOf('title: T\nkey: C major\nmeter: 4/4\n\n| Cmaj7 | Cmaj7 | Dm7 | G7 |\n');
    const two = { chorus: 2, layer: 'band', bar: 1 } as const;
    const state = arrangementOf(
      known,
      [null, null, null],
      [two, two].map((place) => ({ ...place, changes: [[4, 'Fm6']] })),
    );
    const options = { layout: 'compact', voicings: true } as const;
    const asked = partOf(known, state, 'piano', options).blocks.flatMap((block) =>
      [...block.measures, ...block.strips.flatMap((strip) => strip.measures)].flatMap(
        ({ directions }) => directions.map(({ choruses }) => choruses),
      ),
    );
    expect(asked.length).toBeGreaterThan(0);
    for (const choruses of asked) expect(new Set(choruses).size).toBe(choruses?.length ?? 0);
    const over = partOf(known, state, 'piano', { layout: 'compact' });
    expect(over.blocks.map(({ heading }) => heading)).toEqual([
      'Choruses 1–3 · 3x · follow Guitar',
    ]);
  });
});
