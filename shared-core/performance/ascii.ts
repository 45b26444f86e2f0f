/** Texts in a MIDI file are read as ASCII by most programs: accents go, flats become b. */
export function ascii(text: string): string {
  return text
    .normalize('NFD')
    .replace(/\p{Mn}/gu, '')
    .replaceAll('♭', 'b')
    .replaceAll('♯', '#')
    .replace(/[^\x20-\x7e]/gu, '?');
}
