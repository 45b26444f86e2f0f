import { readFileSync } from 'node:fs';
import { validateXML } from 'xmllint-wasm';

const FOLDER = new URL('../reference/musicxml/', import.meta.url);

function schemaFile(name: string): string {
  return readFileSync(new URL(name, FOLDER), 'utf8');
}

/**
 * Validates documents against the W3C's MusicXML 4.0 schema with libxml2. The two imports of the schema
 * name public addresses; they are pointed at the carried files in memory, so that nothing is fetched.
 *
 * @returns one line a fault; empty when everything is valid
 */
export async function musicXmlFaults(
  documents: readonly { readonly name: string; readonly xml: string }[],
): Promise<readonly string[]> {
  const main = schemaFile('musicxml.xsd')
    .replace(/schemaLocation="[^"]*xml\.xsd"/u, 'schemaLocation="xml.xsd"')
    .replace(/schemaLocation="[^"]*xlink\.xsd"/u, 'schemaLocation="xlink.xsd"');
  const result = await validateXML({
    xml: documents.map(({ name, xml }) => ({ fileName: name, contents: xml })),
    schema: [{ fileName: 'musicxml.xsd', contents: main }],
    preload: ['xml.xsd', 'xlink.xsd'].map((fileName) => ({
      fileName,
      contents: schemaFile(fileName),
    })),
  });
  return result.errors.map(({ rawMessage }) => rawMessage);
}
