import { symbolOf } from '../chord/format.ts';
import type { Harmony } from '../chord/model.ts';
import type { Part } from '../parts/model.ts';
import { printedMeasures } from '../parts/printed.ts';
import type { MeasureContext } from './context.ts';
import { exchangePart } from './exchange-part.ts';
import { measureXml } from './measure.ts';
import { element, textElement } from './xml.ts';

/** How a part is written out. */
export interface MusicXmlOptions {
  /**
   * `exchange`: for other programs; kinds with degrees, transposition, repeats, rehearsal marks,
   * slashes without sounding pitch. `engraving`: for our own page; chords as plain text, slash heads as
   * notes, no words on the staff.
   */
  readonly mode: 'exchange' | 'engraving';
  /** Engraving: the text that stands for a chord and so keeps its room. Default: its symbol. */
  readonly chordText?: (harmony: Harmony, layer: 'band' | 'solo') => string;
  /** Engraving: ordinals of printed bars (see `printedMeasures`) that start a line. */
  readonly lineStarts?: ReadonlySet<number>;
  /**
   * Engraving: empty bars to add after an ordinal, so that a short line is not drawn out to the margin;
   * `gap`: a narrow one, that sets two bars apart.
   */
  readonly padding?: ReadonlyMap<number, number | 'gap'>;
}

/**
 * Writes a part as a MusicXML 4.0 document (partwise), elements in the order of the schema. In
 * exchange mode it validates against the W3C schema and reads back to the same bars, chords and notes.
 */
export function partToMusicXml(given: Part, options: MusicXmlOptions): string {
  const part = options.mode === 'exchange' ? exchangePart(given) : given;
  const chordText = options.chordText ?? ((harmony: Harmony) => symbolOf(harmony));
  const context: MeasureContext = {
    part,
    mode: options.mode,
    chordText,
    lineStarts: options.lineStarts ?? new Set(),
    printed: printedMeasures(part),
  };
  const measures = context.printed.flatMap((_, ordinal) => [
    measureXml(context, ordinal),
    ...paddingXml(context, ordinal, options.padding?.get(ordinal) ?? 0),
  ]);
  const score = element(
    'score-partwise',
    { version: '4.0' },
    ...(options.mode === 'exchange' ? headXml(part) : []),
    partListXml(part, options.mode),
    element('part', { id: 'P1' }, ...measures),
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n${score}\n`;
}

function headXml(part: Part): string[] {
  const { head } = part;
  const field = (name: string, value: string | null): string =>
    value ? element('miscellaneous', {}, textElement('miscellaneous-field', value, { name })) : '';
  return [
    element('work', {}, textElement('work-title', head.title)),
    element(
      'identification',
      {},
      head.credit ? textElement('creator', head.credit, { type: 'composer' }) : '',
      element(
        'encoding',
        {},
        textElement('software', 'Changewright'),
        ...(head.date && /^\d{4}-\d\d-\d\d$/u.test(head.date)
          ? [textElement('encoding-date', head.date)]
          : []),
      ),
      field('arrangement', [head.arrangement, head.version].filter(Boolean).join(', ')),
    ),
  ];
}

/** Length of the bar that stands for a gap: a sixteenth, which takes hardly any room. */
const GAP = 240;

/** Empty bars; their ids carry no ordinal, so nothing of them is drawn. */
function paddingXml(context: MeasureContext, ordinal: number, count: number | 'gap'): string[] {
  const gap = count === 'gap';
  const length = gap ? GAP : (context.printed[ordinal]?.measure.length ?? 0);
  return Array.from({ length: gap ? 1 : count }, (_, index) =>
    element(
      'measure',
      { number: 'X', implicit: 'yes', id: `pad${ordinal}-${index}` },
      element(
        'note',
        {},
        element('rest', gap ? {} : { measure: 'yes' }),
        textElement('duration', length),
        textElement('voice', 1),
        gap ? textElement('type', '16th') : '',
      ),
    ),
  );
}

function partListXml(part: Part, mode: MusicXmlOptions['mode']): string {
  const shown = mode === 'exchange' ? undefined : 'no';
  return element(
    'part-list',
    {},
    element(
      'score-part',
      { id: 'P1' },
      textElement('part-name', part.head.chair, { 'print-object': shown }),
    ),
  );
}
