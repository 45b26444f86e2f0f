import { describe, expect, it } from 'vitest';
import { partToMusicXml } from '../../shared-core/notation/musicxml.ts';
import type { Part, PartMeasure } from '../../shared-core/parts/model.ts';
import { printedMeasures } from '../../shared-core/parts/printed.ts';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import { lineStarts } from './lines.ts';
import { restated } from './restate.ts';
import { countOver, REPEATED_A_LINE, repeatable } from './simile.ts';

/** A section of twelve bars with a push in bar 6, and one of eight. */
const KNOWN = tuneOf(
  [
    'title: Time',
    'key: C major',
    'meter: 4/4',
    '',
    '[A]',
    '| C | C | F | F | C | C / / F | F | C | G7 | F | C | G7 |',
    '[B]',
    '| F | F | C | C | F | F | G7 | G7 |',
  ].join('\n'),
);

function drums(): { readonly shown: Part; readonly bars: readonly PartMeasure[] } {
  const part = partOf(KNOWN, arrangementOf(KNOWN, ['Head', 'Solo']), 'drums');
  const printed = printedMeasures(part);
  const widths = repeatable(printed).map((sign) => (sign ? 40 : 80));
  const shown = restated(part, lineStarts(printed, widths, 480, REPEATED_A_LINE));
  return { shown, bars: printedMeasures(shown).map(({ measure }) => measure) };
}

describe('bars of time on a drummer’s chart', () => {
  it('are repeat signs after the first of a line and after hits, eight to a line in whole phrases', () => {
    const signs = drums().bars.map(({ events }) => {
      const kinds = new Set(events.map(({ kind }) => kind));
      return kinds.has('simile') ? '%' : kinds.has('hit') ? '!' : '/';
    });
    // Lines: bars 1-8 and 9-12 of the first section, the eight bars of the second.
    expect(signs.join('')).toBe('/%%%%!/%/%%%/%%%%%%%');
  });

  it('are counted where a phrase of them ends, from the last bar that is written out', () => {
    const { bars } = drums();
    const counts = (from: number, to: number): (number | null)[] => {
      const line = bars.slice(from, to);
      return line.map((_, at) => countOver(line, at));
    };
    const none = [null, null, null];
    expect(counts(0, 8)).toEqual([...none, 4, null, ...none]);
    expect(counts(12, 20)).toEqual([...none, 4, ...none, 8]);
  });

  it('are engraved as MusicXML’s repeated measures, begun and stopped', () => {
    const xml = partToMusicXml(drums().shown, { mode: 'engraving' });
    const starts = [...xml.matchAll(/<measure-repeat type="start">1<\/measure-repeat>/gu)];
    const stops = [...xml.matchAll(/<measure-repeat type="stop"\/>/gu)];
    expect(starts).toHaveLength(4);
    expect(stops).toHaveLength(3);
  });

  it('stay slashes where chords stand over them', () => {
    const part = partOf(KNOWN, arrangementOf(KNOWN, ['Head']), 'guitar');
    expect(repeatable(printedMeasures(part))).not.toContain(true);
  });
});
