import { describe, expect, it } from 'vitest';
import { readEngraving } from './read-svg.ts';

const STAFF = [0, 10, 20, 30, 40]
  .map((y) => `<path d="M0 ${y} L100 ${y}" stroke-width="1"/>`)
  .join('');

function svg(inside: string): string {
  return `<svg viewBox="0 0 10 10" xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"><defs><g id="E0A4-q"><path transform="scale(1,-1)" d="M0 0l10 0 0 10z"/></g></defs><g class="system"><g id="m3" class="measure"><g class="staff">${STAFF}</g>${inside}</g></g></svg>`;
}

describe('the engraver’s page read back', () => {
  it('keeps staff, bars, notes and the places of chords', () => {
    const { systems, glyphs } = readEngraving(
      svg(
        '<g id="e3-0" class="note"><g class="notehead"><use xlink:href="#E0A4-q" transform="translate(50, 20) scale(1, 1)"/></g></g><g class="harm"><text x="48" y="-20"><tspan>Cll</tspan></text></g>',
      ),
      2,
    );
    const [system] = systems;
    expect(system?.staffTop).toBe(0);
    expect(system?.staffBottom).toBe(80);
    expect(system?.measures[0]).toMatchObject({ ordinal: 3, left: 0, right: 200, chords: [96] });
    expect(system?.measures[0]?.events.get(0)?.x).toBe(100);
    expect(Object.keys(glyphs)).toEqual(['E0A4']);
  });

  it('refuses what it does not know', () => {
    expect(() => readEngraving(svg('<g class="note"><image/></g>'), 1)).toThrow('drew a image');
    expect(() => readEngraving(svg('<g class="note"><text x="0" y="0">a</text></g>'), 1)).toThrow(
      'drew a text',
    );
    expect(() => readEngraving(svg('<g class="note" transform="rotate(9)"/>'), 1)).toThrow(
      'moved a group',
    );
    expect(() =>
      readEngraving(
        svg(
          '<g class="note"><use xlink:href="#E000-q" transform="translate(0, 0) scale(1, 1)"/></g>',
        ),
        1,
      ),
    ).toThrow('cannot place');
  });

  it('leaves padding bars out', () => {
    const page = svg('').replace('id="m3"', 'id="pad3-0"');
    expect(() => readEngraving(page, 1)).toThrow('without a staff');
  });
});
