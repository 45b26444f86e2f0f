import { describe, expect, it } from 'vitest';
import { symbolOf } from '../chord/format.ts';
import { readTune } from '../tune/read.ts';
import { analyse } from './analyse.ts';
import type { StaticSpan } from './model.ts';

function spans(text: string): readonly StaticSpan[] {
  const { tune, errors } = readTune(text);
  if (tune === null || errors.length > 0) throw new Error(JSON.stringify(errors));
  const analysis = analyse(tune, []);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value.spans;
}

/** Id and symbol of the spans two bars or longer. */
const stretches = (text: string): string[] =>
  spans(text)
    .filter(({ stretch }) => stretch)
    .map(({ id, harmony }) => `${id} ${symbolOf(harmony)}`);

describe('spansOf', () => {
  it('holds one chord across its spellings: triad, seventh, sixth and inversion', () => {
    expect(stretches('| Cmaj7 | C6 | C | C/E | F7 | G7 |')).toEqual(['b1.1x16 Cmaj7']);
    expect(stretches('| Cm | Cm7 | F7 | Bb7 |')).toEqual(['b1.1x8 Cm']);
  });

  it('parts a chord from the same root with another seventh, third or fourth', () => {
    expect(stretches('| C | C7 | Cm7 | C7sus4 | C7 | Cm7b5 |')).toEqual([]);
  });

  it('keeps a line over a minor chord apart, for there the players have something to say', () => {
    expect(stretches('| Cm | CmMaj7 | Cm7 | Cm6 | Fm7 | G7 |')).toEqual(['b1.1x8 Cm']);
  });

  it.each(['Cmaj7', 'Cm7', 'C7', 'Cm7b5', 'C7sus4', 'Cdim7'])('holds %s', (symbol) => {
    expect(stretches(`| ${symbol} | ${symbol} | F#7 | B7 |`)).toEqual([`b1.1x8 ${symbol}`]);
  });

  it('lists a chord of one bar too, but not as a stretch, unless the tempo is slow', () => {
    const text = '| Cmaj7 | F7 | Em7 A7 | Dm7 G7 |';
    expect(spans(text).map(({ id, stretch }) => [id, stretch])).toEqual([
      ['b1.1x4', false],
      ['b2.1x4', false],
    ]);
    expect(spans(`tempo: 66\n${text}`).map(({ stretch }) => stretch)).toEqual([true, true]);
    expect(spans(`tempo: 81\n${text}`).map(({ stretch }) => stretch)).toEqual([false, false]);
  });

  it('goes on over a section end and says where the sections start', () => {
    const text = '[A]\n| Dm7 G7 | Cmaj7 |\n[B]\n| Cmaj7 | F7 |';
    const span = spans(text).find(({ stretch }) => stretch);
    expect(span).toMatchObject({ id: 'b2.1x8', start: 3840, length: 7680, sectionStarts: [7680] });
    expect(span?.places).toEqual(['section-end']);
  });

  it('runs from the end of the form into its top, and lists the top by itself as well', () => {
    const text = '[A]\n| Cmaj7 | % | Dm7 | G7 | Em7 | A7 | Dm7 G7 | Cmaj7 |';
    expect(stretches(text)).toEqual(['b1.1x8 Cmaj7', 'b8.1x12 Cmaj7']);
    const around = spans(text).find(({ id }) => id === 'b8.1x12');
    expect(around).toMatchObject({
      start: 7 * 3840,
      length: 3 * 3840,
      next: 2,
      places: ['top-of-form', 'end-of-form', 'section-end'],
      sectionStarts: [8 * 3840],
    });
  });

  it('takes a form of one chord as one span with nothing around it', () => {
    const [span, ...others] = spans('| Dm7 | % | % | % | % | % | % | % |');
    expect(others).toEqual([]);
    expect(span).toMatchObject({ id: 'b1.1x32', next: null, previous: null });
    expect(span?.places).toContain('vamp');
  });

  it('goes on through a repeat', () => {
    expect(stretches('|: Em7 | Em7 :| A7 | D7 |')).toEqual(['b1.1x16 Em7']);
  });

  it('names the place before a new section, and the middle of one', () => {
    const text = '[A]\n| F7 | Cmaj7 | % | Dm7 | G7 | Em7 | Am7 | % |\n[B]\n| D7 | % | G7 | A7 |';
    const places = Object.fromEntries(spans(text).map(({ id, places }) => [id, places]));
    expect(places['b2.1x8']).toEqual(['mid-section']);
    expect(places['b7.1x8']).toEqual(['before-section', 'section-end']);
    expect(places['b9.1x8']).toEqual(['mid-section']);
  });

  it('counts beats of the meter: two bars are six beats in 3/4 and four in 6/8', () => {
    expect(stretches('meter: 3/4\n| Cmaj7 | % | F7 | Bb7 |')).toEqual(['b1.1x6 Cmaj7']);
    expect(stretches('meter: 6/8\n| Cmaj7 | % | F7 | Bb7 |')).toEqual(['b1.1x4 Cmaj7']);
    expect(stretches('meter: 5/4\n| Cmaj7 | % | F7 | Bb7 |')).toEqual(['b1.1x10 Cmaj7']);
  });

  it('starts and ends inside bars', () => {
    expect(stretches('| F7 C6 | C6 | C6 G7 | Dm7 G7 |')).toEqual(['b1.3x8 C6']);
  });
});
