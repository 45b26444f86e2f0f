import { describe, expect, it } from 'vitest';
import { type Pitch, pitchName, spelled } from '../../shared-core/pitch/spelled.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import { type Draft, draftBar, emptyDraft } from './draft.ts';
import { finishTune, type ImportedTune } from './finish.ts';

const BAR = 3840;
const METER = { count: 4, unit: 4 };

/** One empty bar, changed. */
function draft(change: (made: Draft) => void): Draft {
  const made = emptyDraft();
  made.bars.push(draftBar(METER, BAR));
  change(made);
  return made;
}

/** What becomes of a draft, having made sure that it can be kept as text and played. */
function finished(made: Draft): ImportedTune {
  const done = finishTune(made);
  const back = readTune(writeTune(done.tune));
  expect(back.errors).toEqual([]);
  expect(back.tune).toEqual(done.tune);
  const chorus = unroll(done.tune);
  expect(chorus.ok && chorus.value.bars.length).toBeGreaterThan(0);
  return done;
}

const sung = (...pitches: Pitch[]): Draft =>
  draft(({ bars }) => {
    pitches.forEach((pitch, at) => {
      bars[0]?.notes.push({ at: at * 960, length: 960, pitch });
    });
  });

describe('a draft that is finished', () => {
  it('has no note below or above what a melody line can say, and says how many there were', () => {
    const { tune, warnings } = finished(
      sung(
        { pc: 0, octave: -1 },
        { pc: 0, octave: 4 },
        { pc: 1, octave: 9 },
        { pc: 0, octave: -3 },
      ),
    );
    expect(tune.sections[0]?.bars[0]?.melody.map(({ pitch }) => pitchName(pitch))).toEqual(['C4']);
    expect(warnings).toContain('3 notes too low or too high for any melody left out.');
  });

  it('writes a triple accidental as the plainer note that sounds the same', () => {
    const { tune } = finished(sung({ pc: spelled('C', 3), octave: 4 }));
    const [note] = tune.sections[0]?.bars[0]?.melody ?? [];
    expect(note && pitchName(note.pitch)).toBe('D#4');
  });

  it('has no form where the file gives an empty one', () => {
    const { tune } = finished(
      draft((made) => {
        made.form = [];
      }),
    );
    expect(tune.form).toBeNull();
  });

  it('ends names that are too long at a word or in one', () => {
    const { tune } = finished(
      draft((made) => {
        made.title = 'ab '.repeat(200);
        const [bar] = made.bars;
        if (bar) bar.label = ': '.repeat(40);
      }),
    );
    expect(tune.title).toHaveLength(299);
    expect(tune.sections[0]?.label).toBe(tune.sections[0]?.label.trim());
  });
});
