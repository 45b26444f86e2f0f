import { Refusal } from '../errors.ts';
import { holdLimit, LIMITS } from '../limits.ts';
import { child, childrenOf, textOf, type Xml } from './tree.ts';

/** One part of a score: its name and its measures in order. */
export interface ScorePart {
  readonly id: string;
  readonly name: string;
  readonly measures: readonly Xml[];
}

/** A score, whichever way round it is written. */
export interface Score {
  readonly root: Xml;
  readonly parts: readonly ScorePart[];
}

/** Parts and measures of a score, partwise or timewise. */
export function scoreOf(root: Xml): Score {
  if (root.name !== 'score-partwise' && root.name !== 'score-timewise') {
    throw new Refusal(
      'import/xml-kind',
      `it is XML, but <${root.name.slice(0, 40)}> is no MusicXML score. Export the tune as MusicXML.`,
      { line: root.line },
    );
  }
  const names = new Map(
    childrenOf(child(root, 'part-list'), 'score-part').map((part) => [
      part.attributes.id ?? '',
      textOf(part, 'part-name'),
    ]),
  );
  const found = root.name === 'score-partwise' ? partwise(root) : timewise(root);
  holdLimit(found.size, LIMITS.parts, 'parts');
  const parts = [...found].map(([id, measures]) => ({ id, name: names.get(id) ?? '', measures }));
  for (const part of parts) holdLimit(part.measures.length, LIMITS.bars, 'bars');
  return { root, parts };
}

function partwise(root: Xml): Map<string, Xml[]> {
  const parts = new Map<string, Xml[]>();
  for (const part of childrenOf(root, 'part')) {
    const id = part.attributes.id ?? '';
    parts.set(id, [...(parts.get(id) ?? []), ...childrenOf(part, 'measure')]);
  }
  return parts;
}

/** Turns measures of parts into parts of measures; a measure keeps its own attributes. */
function timewise(root: Xml): Map<string, Xml[]> {
  const parts = new Map<string, Xml[]>();
  for (const measure of childrenOf(root, 'measure')) {
    for (const part of childrenOf(measure, 'part')) {
      const id = part.attributes.id ?? '';
      const measures = parts.get(id) ?? [];
      measures.push({ ...part, name: 'measure', attributes: measure.attributes });
      parts.set(id, measures);
    }
  }
  return parts;
}
