import { describe, expect, it } from 'vitest';
import { BAND, partOf, tuneOf } from '../../tests/support/parts.ts';
import { emptyArrangement } from '../arrangement/fold.ts';
import { buildPart } from '../parts/build.ts';
import { readTuning } from '../pitch/strings.ts';
import { frameXml } from './frame-xml.ts';
import { partToMusicXml } from './musicxml.ts';

const note = (string: number, fret: number): string =>
  `<frame-note><string>${string}</string><fret>${fret}</fret></frame-note>`;

describe('a guitar shape in MusicXML', () => {
  it('counts strings from the highest, marks open and silent ones, and begins at the nut', () => {
    // The open C major chord, X 3 2 0 1 0 (common practice, no source).
    expect(frameXml([null, 3, 2, 0, 1, 0])).toBe(
      [
        '<frame unplayed="x"><frame-strings>6</frame-strings><frame-frets>4</frame-frets>',
        note(5, 3) + note(4, 2) + note(3, 0) + note(2, 1) + note(1, 0),
        '</frame>',
      ].join(''),
    );
  });

  it('names its first fret where it lies above the fourth', () => {
    expect(frameXml([null, null, 7, 9, 8, 10])).toContain(
      '<frame-frets>4</frame-frets><first-fret>7</first-fret>',
    );
    expect(frameXml([5, null, 5, 6, 5, 9])).toContain(
      '<frame-frets>5</frame-frets><first-fret>5</first-fret>',
    );
  });

  it('is nothing where nothing is played', () => {
    expect(frameXml([null, null, null, null, null, null])).toBe('');
  });

  it('stands with the chords of a guitar part when voicings are on, and only then', () => {
    const known = tuneOf('title: T\nkey: C major\nmeter: 4/4\n\n| Cmaj7 | Am7 | Dm7 | G7 |\n');
    const state = emptyArrangement('T', 1);
    const frames = (voicings: boolean): number =>
      partToMusicXml(partOf(known, state, 'guitar', { voicings }), { mode: 'exchange' }).split(
        '<frame ',
      ).length - 1;
    expect(frames(true)).toBe(4);
    expect(frames(false)).toBe(0);
  });

  it('says tuning and capo before the first bar, and counts frets from the capo', () => {
    const known = tuneOf('title: T\nkey: C major\nmeter: 4/4\n\n| Cmaj7 | Am7 | Dm7 | G7 |\n');
    const [guitar] = BAND.chairs;
    const tuning = readTuning('D2 A2 D3 G3 A3 D4', 'guitar');
    if (!guitar || !tuning.ok) throw new Error('no guitar, no tuning');
    const strings = { tuning: tuning.value, capo: 2, leftHanded: true };
    const chair = { ...guitar, strings };
    const part = buildPart({
      ...known,
      ...{ state: emptyArrangement('T', 1), chair, band: BAND, options: { voicings: true } },
    });
    const xml = partToMusicXml(part, { mode: 'exchange' });
    expect(xml).toContain('<staff-details><capo>2</capo></staff-details>');
    expect(xml).toContain('<words>DADGAD, capo 2</words>');
    const shown = part.blocks.flatMap(({ measures }) =>
      measures.flatMap(({ voicings }) => voicings.map(({ voicing }) => voicing.frets ?? [])),
    );
    expect(shown.length).toBe(4);
    for (const frets of shown) expect(xml).toContain(frameXml(frets));
  });
});
