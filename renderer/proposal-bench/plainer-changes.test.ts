import { describe, expect, it } from 'vitest';
import { applyCommand, emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import { realise } from '../../shared-core/arrangement/realise.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { openTune } from '../engine/open-tune.ts';
import { plainerIn, plainerPlacement, standsClear } from './plainer-changes.ts';

const opened = openTune(
  'title: Thick\nkey: C major\n| Cmaj7 | % | Dm7 | Db7 |\n| Cmaj7 | Am7 Ebdim7 | Dm7 | G7 |\n',
);
if (!opened.ok) throw new Error(opened.message);
const { analysis } = opened.value;
const BAR = 3840;

describe('plainer changes', () => {
  it('name the device, what is written and what it comes down to', () => {
    expect(
      plainerIn(analysis, null).map(({ device, start, written, changes }) => [
        device,
        start / BAR,
        written.map(({ harmony }) => symbolOf(harmony)).join(),
        changes.map(({ harmony }) => symbolOf(harmony)).join(),
      ]),
    ).toEqual([
      ['tritone-substitute', 3, 'Db7', 'G7'],
      ['passing-diminished', 5.5, 'Ebdim7', 'Am7'],
    ]);
    expect(plainerIn(analysis, { start: 0, length: 2 * BAR })).toEqual([]);
  });

  it('stand in one chorus as a hand edit of the band, where nothing else was decided', () => {
    const [first] = plainerIn(analysis, null);
    if (!first) throw new Error('nothing found');
    const state = emptyArrangement('Saturday', 2);
    expect(standsClear(state, 'c2', first)).toBe(true);
    const placement = plainerPlacement(first, 'c2', 'h1');
    const done = applyCommand(state, { kind: 'edit', placement });
    if (!done.ok) throw new Error(done.error.code);
    const played = realise(analysis.chorus, done.value.state).band;
    const at = (bar: number) => played.find((event) => event.start === bar * BAR)?.harmony;
    expect([at(3), at(11)].map((harmony) => harmony && symbolOf(harmony))).toEqual(['Db7', 'G7']);
    expect(standsClear(done.value.state, 'c2', first)).toBe(false);
    expect(standsClear(done.value.state, 'c1', first)).toBe(true);
  });
});
