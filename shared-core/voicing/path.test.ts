import { describe, expect, it } from 'vitest';
import type { Chord } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { guideTones, notesOf } from '../chord/tones.ts';
import { chromaOf, midiOf, nameOf } from '../pitch/spelled.ts';
import type { Voicing } from './model.ts';
import { type PathOptions, voicePath } from './path.ts';

const PIANO: PathOptions = { instrument: 'piano', withBass: true };
const GUITAR: PathOptions = { instrument: 'guitar', withBass: true };

function chordOf(text: string): Chord | null {
  if (text === 'N.C.') return null;
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(`${text} is no chord`);
  return read.value;
}

const pathOf = (symbols: string, options: PathOptions): (Voicing | null)[] =>
  voicePath(symbols.split(' ').map(chordOf), options);
const midi = (voicing: Voicing | null | undefined): number[] => voicing?.pitches.map(midiOf) ?? [];
const lowestFret = (voicing: Voicing | null): number =>
  Math.min(...(voicing?.frets ?? []).filter((fret): fret is number => fret !== null && fret > 0));

const BLUES = 'F7 Bb7 F7 Cm7 F7 Bb7 Bdim7 F7 Am7b5 D7b9 Gm7 C7 F7 D7 Gm7 C7';
const FAR = 'Cmaj7 F#m7 B7 Bbmaj7 E7alt A13 Ebm7 Ab7sus4 Db6/9 G7#9 CmMaj7 F#m7b5';

describe('a path of voicings', () => {
  it('keeps what two chords have in common in the same voices', () => {
    for (const options of [PIANO, GUITAR]) {
      const [from, to] = pathOf('Dm7 G7', options).map(midi);
      const stay = (from ?? []).filter((note) => to?.includes(note));
      expect(stay.length, options.instrument).toBeGreaterThanOrEqual(2);
    }
  });

  it('stays on its voicing when a chord is written again', () => {
    const [first, ...rest] = pathOf('Dm7 Dm7 Dm7 Dm7', PIANO).map(midi);
    for (const again of rest) expect(again).toEqual(first);
  });

  it('has every chord with its guide tones in it, spelled as the chord spells them', () => {
    for (const options of [PIANO, GUITAR]) {
      const chords = FAR.split(' ').map(chordOf);
      voicePath(chords, options).forEach((voicing, index) => {
        const chord = chords[index];
        const notes = voicing?.pitches.map(({ pc }) => pc) ?? [];
        if (chord) expect(notes).toEqual(expect.arrayContaining(guideTones(chord)));
      });
    }
  });

  it('holds no note outside the chord but the tensions that stand for its root and fifth', () => {
    const chord = chordOf('Dm7');
    if (!chord) throw new Error('Dm7 is a chord');
    const own = [...notesOf(chord), chord.root + 2].map(nameOf);
    for (const { pc } of pathOf('Dm7 G7 Cmaj7', PIANO)[0]?.pitches ?? [])
      expect(own).toContain(nameOf(pc));
  });

  it('moves a guitar hand three frets or fewer between chords of a blues', () => {
    const path = pathOf(BLUES, GUITAR);
    path.slice(1).forEach((voicing, index) => {
      const before = path[index] ?? null;
      expect(Math.abs(lowestFret(voicing) - lowestFret(before))).toBeLessThanOrEqual(3);
    });
  });

  it('is silent for N.C. and voices what comes before and after', () => {
    const path = pathOf('Dm7 N.C. N.C. G7', GUITAR);
    expect(path.map((voicing) => voicing !== null)).toEqual([true, false, false, true]);
  });

  it('keeps to the kinds asked for, and takes any for a chord that has none of them', () => {
    const path = pathOf('Dm7 G7 Cmaj7 C', { ...GUITAR, kinds: ['drop 2'] });
    expect(path.slice(0, 3).map((voicing) => voicing?.kind)).toEqual([
      'drop 2',
      'drop 2',
      'drop 2',
    ]);
    expect(path[3]?.pitches.length).toBeGreaterThan(1);
  });

  it('puts the root, or the bass of a slash chord, under a piano that has no bass player', () => {
    const path = pathOf('Dm7 G7/B Cmaj7', { instrument: 'piano', withBass: false });
    expect(path.map((voicing) => nameOf(voicing?.pitches[0]?.pc ?? 99))).toEqual(['D', 'B', 'C']);
    for (const voicing of path) expect(midi(voicing)[0]).toBeLessThanOrEqual(48);
  });

  it('has its pitches low to high, and no pitch twice', () => {
    for (const options of [PIANO, GUITAR]) {
      for (const voicing of pathOf(`${FAR} ${BLUES}`, options)) {
        const notes = midi(voicing);
        expect(notes).toEqual([...new Set(notes)].sort((a, b) => a - b));
      }
    }
  });

  it('frets exactly the pitches it names', () => {
    const tuning = [40, 45, 50, 55, 59, 64];
    for (const voicing of pathOf(FAR, GUITAR)) {
      const fretted = (voicing?.frets ?? []).flatMap((fret, string) =>
        fret === null ? [] : [(tuning[string] ?? 0) + fret],
      );
      expect(fretted).toEqual(midi(voicing));
    }
  });

  it('is the same path every time', () => {
    expect(pathOf(FAR, GUITAR)).toEqual(pathOf(FAR, GUITAR));
  });

  it('is empty over nothing', () => {
    expect(voicePath([], PIANO)).toEqual([]);
  });

  it('voices every everyday quality on every root', () => {
    const suffixes = [
      '',
      'm',
      'maj7',
      '6',
      'm7',
      'm6',
      '7',
      '9',
      '13',
      '7alt',
      '7b9',
      '7sus4',
      'm7b5',
      'dim7',
      'mMaj7',
      'aug',
      'sus4',
      '6/9',
      'm11',
      'maj7#11',
    ];
    for (const root of ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']) {
      for (const suffix of suffixes) {
        for (const options of [PIANO, GUITAR]) {
          const [voicing] = pathOf(root + suffix, options);
          expect(midi(voicing).length, `${root}${suffix} ${options.instrument}`).toBeGreaterThan(1);
        }
      }
    }
  });

  it('sounds all four notes of a diminished seventh and no other', () => {
    const chord = chordOf('Bdim7');
    const [voicing] = pathOf('Bdim7', GUITAR);
    const sounding = new Set(voicing?.pitches.map(({ pc }) => chromaOf(pc)));
    if (chord) expect(sounding).toEqual(new Set(notesOf(chord).map(chromaOf)));
  });
});
