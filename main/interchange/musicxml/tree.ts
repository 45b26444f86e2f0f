import { SaxesParser } from 'saxes';
import { Refusal } from '../errors.ts';
import { holdLimit, LIMITS } from '../limits.ts';

/** An element of a score, without what no reader here asks for. */
export interface Xml {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Xml[];
  /** Character data directly inside, in one piece. */
  text: string;
  readonly line: number;
}

/**
 * Reads XML into a tree. Nothing is ever fetched: a bare DOCTYPE is passed over, one with an internal
 * subset is refused, and so is any entity but the five of XML. Depth, elements and attributes are counted
 * as they come.
 */
export function parseXml(text: string): Xml {
  const parser = new SaxesParser({ position: true, fragment: false });
  const stack: Xml[] = [];
  let root: Xml | null = null;
  let count = 0;
  parser.on('doctype', (doctype) => {
    if (/[[<]|ENTITY/u.test(doctype)) {
      throw new Refusal(
        'import/xml-entity',
        'its DOCTYPE declares entities of its own, which is not safe to read. Export it again as plain MusicXML.',
        { line: parser.line },
      );
    }
  });
  parser.on('opentag', ({ name, attributes }) => {
    count++;
    holdLimit(count, LIMITS.xmlElements, 'elements');
    holdLimit(stack.length, LIMITS.xmlDepth, 'levels of elements');
    holdLimit(Object.keys(attributes).length, LIMITS.xmlAttributes, 'attributes on one element');
    const element: Xml = {
      name,
      attributes: attributes as Record<string, string>,
      children: [],
      text: '',
      line: parser.line,
    };
    stack[stack.length - 1]?.children.push(element);
    root ??= element;
    stack.push(element);
  });
  const append = (characters: string) => {
    const element = stack[stack.length - 1];
    if (element) element.text += characters;
  };
  parser.on('text', append);
  parser.on('cdata', append);
  parser.on('closetag', () => {
    stack.pop();
  });
  parser.on('error', (error) => {
    const entity = /entity/iu.test(error.message);
    throw new Refusal(
      entity ? 'import/xml-entity' : 'import/xml',
      entity
        ? 'it uses an entity that XML does not define. Export it again as plain MusicXML.'
        : 'its XML is broken here. Export it again from the program it came from.',
      { line: parser.line },
    );
  });
  parser.write(text.replace(/^\uFEFF/u, '')).close();
  if (!root) throw new Refusal('import/xml', 'it holds no XML element.');
  return root;
}

/** First child of that name. */
export function child(parent: Xml | undefined, name: string): Xml | undefined {
  return parent?.children.find((candidate) => candidate.name === name);
}

/** All children of that name. */
export function childrenOf(parent: Xml | undefined, name: string): Xml[] {
  return parent?.children.filter((candidate) => candidate.name === name) ?? [];
}

/** Trimmed text of a child; empty where there is none. */
export function textOf(parent: Xml | undefined, name: string): string {
  return child(parent, name)?.text.trim() ?? '';
}

/** Number in a child; `otherwise` where there is none or it is no number. */
export function numberOf(parent: Xml | undefined, name: string, otherwise: number): number {
  const text = textOf(parent, name);
  const value = Number(text);
  return text === '' || !Number.isFinite(value) ? otherwise : value;
}
