import { describe, expect, it } from 'vitest';
import { buildPart } from '../../shared-core/parts/build.ts';
import { SAMPLE_BAND, sample } from '../../tests/support/samples.ts';
import { setText } from './fonts.ts';
import { layOut } from './layout.ts';
import type { Item, Page, TextItem } from './scene.ts';

/** A box of ink in points. */
interface Box {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** About the ink of a piece of text: from the height of its small letters' stems to its baseline. */
function boxOf({ face, size, text, x, y }: TextItem): Box {
  const { width } = setText(face === 'signs' ? 'regular' : face, size, text);
  return { text, left: x, right: x + width, top: y - size * 0.62, bottom: y };
}

function boxesOf(item: Item): readonly Box[] {
  if (item.kind === 'text') return [boxOf(item)];
  if (item.kind !== 'group') return [];
  const parts = item.items.map(boxOf);
  return [
    {
      text: item.label,
      left: Math.min(...parts.map(({ left }) => left)),
      right: Math.max(...parts.map(({ right }) => right)),
      top: Math.min(...parts.map(({ top }) => top)),
      bottom: Math.max(...parts.map(({ bottom }) => bottom)),
    },
  ];
}

/** Words that stand on others, and words nearer than ten millimetres to an edge. */
function faultsOf(page: Page): readonly string[] {
  const boxes = page.items.flatMap(boxesOf);
  const edge = (10 / 25.4) * 72;
  const out = boxes.filter((box) => box.left < edge || box.right > page.width - edge);
  const touching = boxes.flatMap((a, at) =>
    boxes.slice(at + 1).flatMap((b) => {
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      return wide > 1.5 && high > 1.2 ? [`${a.text} on ${b.text}`] : [];
    }),
  );
  return [...out.map(({ text }) => `${text} at the edge`), ...touching];
}

describe('words on the charts of the sample library', () => {
  it.each(['greensleeves', 'corner-table-late'])(
    'stand clear of each other and of the edges, for every chair and print size (%s)',
    async (name) => {
      for (const chair of SAMPLE_BAND.chairs)
        for (const options of [{}, { paper: 'letter', large: true }] as const) {
          const part = buildPart({ ...sample(name), chair, band: SAMPLE_BAND, options });
          const { pages } = await layOut(part, options);
          const faults = pages.flatMap(faultsOf);
          expect({ chair: chair.id, faults }).toEqual({ chair: chair.id, faults: [] });
        }
    },
  );

  it('would be found on each other and at the edge', () => {
    const word = (text: string, x: number, y: number): TextItem => ({
      ...{ kind: 'text', face: 'regular', size: 12, text },
      ...{ x, y },
    });
    const items = [word('first', 100, 100), word('second', 110, 102), word('third', 580, 300)];
    expect(faultsOf({ width: 595, height: 842, items, marks: [] })).toEqual([
      'third at the edge',
      'first on second',
    ]);
  });
});
