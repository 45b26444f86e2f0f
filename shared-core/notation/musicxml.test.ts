import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import { partToMusicXml } from './musicxml.ts';
import { escapeXml } from './xml.ts';

const TUNE = tuneOf(
  [
    'title: Salt & <Pepper>',
    'credit: "Q"',
    'key: Eb major',
    'meter: 4/4',
    '',
    '[A]',
    '| Ebmaj7 | Abm6 Db9 | N.C. | Bb7 |',
  ].join('\n'),
);

function xmlOf(chair: string, options?: Parameters<typeof partOf>[3]): string {
  const state = arrangementOf(
    TUNE,
    ['Head', 'Solo'],
    [{ chorus: 2, layer: 'soloist', bar: 1, changes: [[4, 'Ebm6']] }],
  );
  return partToMusicXml(partOf(TUNE, state, chair, options), { mode: 'exchange' });
}

describe('the exchange file', () => {
  it('escapes what people typed', () => {
    expect(xmlOf('guitar')).toContain('<work-title>Salt &amp; &lt;Pepper&gt;</work-title>');
    expect(xmlOf('guitar')).toContain('<creator type="composer">&quot;Q&quot;</creator>');
    expect(escapeXml('a\u0000b\uD800c\u0007')).toBe('abc');
  });

  it('carries roots, kinds, basses and degrees with their alterations', () => {
    const xml = xmlOf('guitar');
    expect(xml).toContain(
      '<root-step>E</root-step><root-alter>-1</root-alter></root><kind text="maj7">major-seventh</kind>',
    );
    expect(xml).toContain('<kind text="m6">minor-sixth</kind>');
    expect(xml).toContain('<kind text="N.C.">none</kind>');
  });

  // Transposition as MusicXML counts it, written to sounding: tests/reference/transposition.json.
  it.each([
    [
      'tenor',
      '<fifths>-1</fifths>',
      '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose>',
    ],
    [
      'alto',
      '<fifths>0</fifths>',
      '<transpose><diatonic>-5</diatonic><chromatic>-9</chromatic></transpose>',
    ],
    [
      'trumpet',
      '<fifths>-1</fifths>',
      '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>',
    ],
    [
      'guitar',
      '<fifths>-3</fifths>',
      '<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>',
    ],
  ])('writes %s in its key and transposition', (chair, key, transpose) => {
    expect(xmlOf(chair)).toContain(key);
    expect(xmlOf(chair)).toContain(transpose);
  });

  it('leaves the transposition out at concert pitch', () => {
    expect(xmlOf('alto', { concert: true })).not.toContain('<transpose>');
    expect(xmlOf('alto', { concert: true })).toContain('<fifths>-3</fifths>');
  });

  it('gives slashes no sounding pitch', () => {
    expect(xmlOf('guitar')).not.toContain('<pitch>');
    expect(xmlOf('guitar')).toContain('<notehead>slash</notehead>');
  });

  it('puts the soloist’s changes above the band’s and tells them apart', () => {
    const xml = xmlOf('tenor');
    expect(xml).toContain('<harmony placement="above" type="alternate">');
    expect(xml).toContain('<harmony placement="below">');
  });

  it('places a second chord in a held bar by its offset', () => {
    const xml = partToMusicXml(partOf(TUNE, arrangementOf(TUNE, ['Solo']), 'drums'), {
      mode: 'exchange',
    });
    expect(xml).not.toContain('<harmony');
    expect(xml).toContain('<sign>percussion</sign>');
  });
});
