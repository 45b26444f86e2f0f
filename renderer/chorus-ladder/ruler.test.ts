import { describe, expect, it } from 'vitest';
import { understand } from '../../shared-core/proposals/understand.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { barsWords, rulerOf, segmentsOf } from './ruler.ts';

function analysed(text: string) {
  const { tune } = readTune(text);
  if (!tune) throw new Error('the test tune has no bars');
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value;
}

const AABA = `key: Bb major
form: A A B A
[A]
| Cm7 | % | % | F7 |
| Dm7 G7 | Cm7 F7 | Bbmaj7 | % |
[B]
| Ebmaj7 | % | Ebm7 Ab7 | % |
| Dm7 | G7 | Cm7 | F7 |`;

describe('the ruler', () => {
  it('puts every tick on a whole pixel, the last at its full width', () => {
    const ruler = rulerOf(3840, { quarter: 33, type: 1, rung: 80, contour: 12 }, 1);
    expect([ruler.x(0), ruler.x(960), ruler.x(961), ruler.width]).toEqual([0, 33, 33, 132]);
  });

  it('refuses a width of nothing', () => {
    expect(() => rulerOf(3840, { quarter: 0, type: 1, rung: 80, contour: 12 }, 1)).toThrow(/0 px/u);
  });
});

describe('the cells of a rung', () => {
  const analysis = analysed(AABA);
  const { chorus } = analysis;
  const segments = segmentsOf(chorus, analysis.spans);

  it('cover the chorus without gap or overlap', () => {
    let at = 0;
    for (const segment of segments) {
      expect(segment.start).toBe(at);
      at += segment.length;
    }
    expect(at).toBe(chorus.length);
  });

  it('hold a static span in one piece, across a section end too', () => {
    const acrossSections = analysed(
      'key: C major\n[A]\n| Dm7 | G7 | Cmaj7 | % |\n[B]\n| % | % | F7 | G7 |',
    );
    const cells = segmentsOf(acrossSections.chorus, acrossSections.spans);
    const held = cells.find((cell) => cell.span?.beats === 16);
    expect(held?.firstBar.number).toBe(3);
    expect(held?.lastBar.number).toBe(6);
  });

  it('cut plain bars where a section starts', () => {
    const plain = segments.filter((segment) => !segment.span);
    const crossing = plain.filter((segment) =>
      chorus.bars.some(
        (bar) =>
          bar.startsSection &&
          bar.start > segment.start &&
          bar.start < segment.start + segment.length,
      ),
    );
    expect(crossing).toEqual([]);
  });

  it('draw a span that runs over the end only up to the end', () => {
    const around = analysed(
      'key: C major\n[A]\n| Cmaj7 | % | Dm7 | G7 |\n| Dm7 | G7 | Cmaj7 | % |',
    );
    const cells = segmentsOf(around.chorus, around.spans);
    const last = cells.at(-1);
    expect(last?.span?.length).toBeGreaterThan(last?.length ?? 0);
    expect((last?.start ?? 0) + (last?.length ?? 0)).toBe(around.chorus.length);
  });
});

describe('words for a place', () => {
  const { chorus } = analysed(AABA);
  it.each([
    [0, 3840, 'bar 1'],
    [0, 3 * 3840, 'bars 1–3'],
    [31 * 3840, 3 * 3840, 'bars 32–2'],
  ])('at tick %i for %i ticks: %s', (start, length, words) => {
    expect(barsWords(chorus, start, length)).toBe(words);
  });
});
