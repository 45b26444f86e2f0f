/** Attributes of an element; undefined ones are left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

/**
 * Escapes text for XML content and attributes, and drops the control characters XML 1.0 cannot carry
 * (everything below U+0020 but tab, line feed and carriage return, lone surrogates, U+FFFE and U+FFFF).
 */
export function escapeXml(text: string): string {
  return text
    .replace(/[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

/** An element with ready-made XML inside. `element('p', {id: 1}, '<b/>')` is `<p id="1"><b/></p>`. */
export function element(name: string, attributes: Attributes = {}, ...inner: string[]): string {
  const pairs = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ` ${key}="${escapeXml(String(value))}"`)
    .join('');
  const content = inner.join('');
  return content === '' ? `<${name}${pairs}/>` : `<${name}${pairs}>${content}</${name}>`;
}

/** An element with text inside. `textElement('step', 'E')` is `<step>E</step>`. */
export function textElement(
  name: string,
  text: string | number,
  attributes: Attributes = {},
): string {
  return element(name, attributes, escapeXml(String(text)));
}
