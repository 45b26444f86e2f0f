/** A file in memory, made by an export. */
export interface MadeFile {
  /** Name without a folder; safe on every system. */
  readonly name: string;
  /** Media type. */
  readonly type: string;
  readonly bytes: Uint8Array;
}

/** Media types of what we write. */
export const MEDIA_TYPES = {
  pdf: 'application/pdf',
  musicxml: 'application/vnd.recordare.musicxml+xml',
  midi: 'audio/midi',
  text: 'text/plain; charset=utf-8',
  zip: 'application/zip',
} as const;

/** Names no Windows file may have. Source: Microsoft, Naming Files, Paths, and Namespaces. */
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/iu;

/**
 * Words as part of a file name on every system: no separators, no signs Windows forbids, no dot or space
 * at either end, at most 80 characters.
 *
 * @example safeName('A / B: "Take 2"?') // 'A - B - Take 2'
 */
export function safeName(words: string): string {
  const plain = words
    .normalize('NFC')
    .replaceAll(/\p{Cc}/gu, ' ')
    .replaceAll(/[<>"|?*]/gu, '')
    .replaceAll(/\s*[/\\:]\s*/gu, ' - ')
    .replaceAll(/\s+/gu, ' ');
  const cut = [...plain]
    .slice(0, 80)
    .join('')
    .replaceAll(/^[ .-]+|[ .-]+$/gu, '');
  if (cut === '') return 'Untitled';
  return RESERVED.test(cut) ? `${cut}_` : cut;
}

/** Gives every file a name of its own, whatever the system thinks of case: `x.pdf`, `x (2).pdf`. */
export function distinctNames<T extends { readonly name: string }>(
  files: readonly T[],
): readonly T[] {
  const taken = new Set<string>();
  return files.map((file) => {
    const dot = file.name.lastIndexOf('.');
    const [stem, ending] =
      dot > 0 ? [file.name.slice(0, dot), file.name.slice(dot)] : [file.name, ''];
    let name = file.name;
    for (let count = 2; taken.has(name.toLowerCase()); count++)
      name = `${stem} (${count})${ending}`;
    taken.add(name.toLowerCase());
    return { ...file, name };
  });
}
