import { symbolOf } from '../chord/format.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { alterOf, letterOf, type Spelled } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import { frameXml } from './frame-xml.ts';
import { kindOf } from './kind.ts';
import { element, textElement } from './xml.ts';

/** How one `<harmony>` is written. */
export interface ChordXmlOptions {
  readonly mode: 'exchange' | 'engraving';
  readonly placement: 'above' | 'below';
  /** Ticks after the note it stands before. */
  readonly offset: Ticks;
  /** The soloist's changes over the band's. */
  readonly alternate: boolean;
  /** Exchange only: the guitar shape to show, lowest string first; null for none. */
  readonly frets: readonly (number | null)[] | null;
  /** Engraving only: the text that keeps the chord's room. */
  readonly text: string;
}

/**
 * A chord symbol as `<harmony>`. Exchange: root, kind with its text, bass, degrees. Engraving: kind
 * `other` with the whole text and no degrees, since an engraver would print both.
 */
export function chordXml(harmony: Harmony, options: ChordXmlOptions): string {
  const inner =
    options.mode === 'engraving'
      ? [rootXml('C'), textElement('kind', 'other', { text: options.text })]
      : harmony.kind === 'none'
        ? [rootXml('C'), textElement('kind', 'none', { text: 'N.C.' })]
        : exchangeXml(harmony);
  return element(
    'harmony',
    {
      placement: options.placement,
      type: options.alternate && options.mode === 'exchange' ? 'alternate' : undefined,
    },
    ...inner,
    options.mode === 'exchange' && options.frets ? frameXml(options.frets) : '',
    options.offset > 0 ? textElement('offset', options.offset) : '',
  );
}

function rootXml(step: string): string {
  return element('root', {}, textElement('root-step', step, { text: '' }));
}

function noteXml(name: 'root' | 'bass', pc: Spelled): string {
  const alter = alterOf(pc);
  return element(
    name,
    {},
    textElement(`${name}-step`, letterOf(pc)),
    alter === 0 ? '' : textElement(`${name}-alter`, alter),
  );
}

function exchangeXml(chord: Chord): string[] {
  const { kind, degrees } = kindOf(chord.quality);
  const root = { ...chord, bass: null, optional: false };
  const suffix = symbolOf(root).replace(/^[A-G](?:bb|##|b|#)?/u, '');
  return [
    noteXml('root', chord.root),
    textElement('kind', kind, {
      text: suffix,
      'parentheses-degrees': degrees.length > 1 ? 'yes' : undefined,
    }),
    chord.bass === null ? '' : noteXml('bass', chord.bass),
    ...degrees.map((degree) =>
      element(
        'degree',
        { 'print-object': 'no' },
        textElement('degree-value', degree.value),
        textElement('degree-alter', degree.alter),
        textElement('degree-type', degree.type),
      ),
    ),
  ];
}
