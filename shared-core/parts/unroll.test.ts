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

const spelledOut = (line: readonly TimedHarmony[]): readonly string[] =>
  line.map(({ start, harmony }) => `${start}: ${symbolOf(harmony)}`);

describe('a chart followed as printed', () => {
  it('gives exactly the arrangement, for every chair and layout', () => {
    const input = anyTune.chain((known) =>
      anyArrangement(known).map((state) => ({ known, state })),
    );
    fc.assert(
      fc.property(
        input,
        fc.constantFrom('auto', 'compact', 'written-out'),
        fc.constantFrom('guitar', 'tenor', 'alto', 'bass'),
        ({ known, state }, layout, chair) => {
          const part = partOf(known, state, chair, { layout });
          const real = realise(known.analysis.chorus, state);
          expect(heard(concertLine(part, 'band'))).toEqual(heard(real.band));
          if (part.role === 'soloist')
            expect(heard(concertLine(part, 'solo'))).toEqual(heard(real.solo));
          if (part.reading.toWritten.fifths === 0)
            expect(spelledOut(concertLine(part, 'band'))).toEqual(spelledOut(real.band));
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
});
