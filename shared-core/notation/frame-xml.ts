import { element, textElement } from './xml.ts';

/** Frets a diagram shows at least. */
const ROWS = 4;

/**
 * A guitar shape as `<frame>`. Strings are counted from the highest (1), frets from the nut or the capo;
 * a string that is not played has no note, and is marked with a cross. A frame says which string is
 * stopped where, not how it is drawn: it is the same for a left-handed player.
 *
 * @param frets from the lowest string up, 0 open, null not played
 * @returns nothing where no string is played, since a frame has one note at least
 */
export function frameXml(frets: readonly (number | null)[]): string {
  const fretted = frets.filter((fret): fret is number => fret !== null && fret > 0);
  const highest = Math.max(0, ...fretted);
  const first = highest <= ROWS ? 1 : Math.min(...fretted);
  const notes = frets.flatMap((fret, index) =>
    fret === null
      ? []
      : [
          element(
            'frame-note',
            {},
            textElement('string', frets.length - index),
            textElement('fret', fret),
          ),
        ],
  );
  if (notes.length === 0) return '';
  return element(
    'frame',
    { unplayed: 'x' },
    textElement('frame-strings', frets.length),
    textElement('frame-frets', Math.max(ROWS, highest - first + 1)),
    first > 1 ? textElement('first-fret', first) : '',
    ...notes,
  );
}
