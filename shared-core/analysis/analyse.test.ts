import { describe, expect, it } from 'vitest';
import { keyName, parseKey } from '../pitch/key.ts';
import { nameOf } from '../pitch/spelled.ts';
import type { Tune } from '../tune/model.ts';
import { readTune } from '../tune/read.ts';
import { analyse } from './analyse.ts';
import type { Analysis } from './model.ts';

function tuneOf(text: string): Tune {
  const { tune, errors } = readTune(text);
  if (tune === null || errors.length > 0) throw new Error(JSON.stringify(errors));
  return tune;
}

function understood(text: string): Analysis {
  const analysis = analyse(tuneOf(text), []);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value;
}

const romans = (text: string): string =>
  understood(text)
    .chords.map(({ roman }) => roman)
    .join(' ');
const goals = (text: string): (number | null)[] =>
  understood(text).chords.map(({ prepares }) => prepares);

describe('analyse: the key of the tune', () => {
  const keys = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  // Two-five-one, the handbooks' first sentence: common practice, no source.
  it.each(keys)('finds %s major from its two-five-one and spells it so', (name) => {
    const key = parseKey(name);
    if (key === null) throw new Error(name);
    const [two, five, one] = [key.tonic + 2, key.tonic + 1, key.tonic].map(nameOf);
    const analysis = understood(`| ${two}m7 | ${five}7 | ${one}maj7 | % |`);
    expect(keyName(analysis.key)).toBe(`${name} major`);
    expect(analysis.keyInferred).toBe(true);
    expect(analysis.chords.map(({ roman }) => roman)).toEqual(['ii7', 'V7', 'Imaj7', 'Imaj7']);
  });

  it.each(['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B'])(
    'finds %s minor from its half-diminished two',
    (name) => {
      const key = parseKey(name);
      if (key === null) throw new Error(name);
      const [two, five, one] = [key.tonic + 2, key.tonic + 1, key.tonic].map(nameOf);
      const analysis = understood(`| ${two}m7b5 | ${five}7b9 | ${one}m6 | % |`);
      expect(keyName(analysis.key)).toBe(`${name} minor`);
      expect(analysis.chords.map(({ roman }) => roman)).toEqual(['iiø7', 'V7b9', 'i6', 'i6']);
    },
  );

  it('takes a written key as it is written', () => {
    const analysis = understood('key: Gb major\n| Gbmaj7 | Abm7 Db7 | Gbmaj7 | % |');
    expect(keyName(analysis.key)).toBe('Gb major');
    expect(analysis.keyInferred).toBe(false);
  });

  it('is not led astray by a form that starts off the tonic and ends on a turnaround', () => {
    const text =
      '| Fm7 | Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | G7 | Cmaj7 | % |\n' +
      '| Fm7 | Bbm7 | Eb7 | Abmaj7 | Bbm7 | Eb7 | Abmaj7 | Gm7b5 C7 |';
    expect(keyName(understood(text).key)).toBe('Ab major');
  });
});

describe('analyse: local keys', () => {
  it('leaves a bridge of secondary dominants in the home key', () => {
    // The bridge of the thirty-two bar form with III7 VI7 II7 V7: common practice, no source.
    const text =
      '[A]\n| Bb6 G7 | Cm7 F7 | Bb6 G7 | Cm7 F7 | Bb7 | Eb6 Edim7 | Bb/F G7 | Cm7 F7 |\n' +
      '[B]\n| D7 | % | G7 | % | C7 | % | F7 | % |\n' +
      '[C]\n| Bb6 G7 | Cm7 F7 | Bb6 G7 | Cm7 F7 | Bb7 | Eb6 Edim7 | Bb/F F7 | Bb6 |';
    const analysis = understood(text);
    const names = new Set(analysis.chords.map(({ localKey }) => keyName(localKey)));
    expect([...names]).toEqual(['Bb major']);
    const bridge = analysis.chords.filter(({ bar }) => bar >= 9 && bar <= 16);
    expect(bridge.map(({ roman }) => roman)).toEqual([
      'V7/VI',
      'V7/VI',
      'V7/II',
      'V7/II',
      'V7/V',
      'V7/V',
      'V7',
      'V7',
    ]);
  });

  it('goes with a bridge that has its own two-five-one, and spells its key as the chart does', () => {
    const text =
      'key: Db major\n[A]\n| Dbmaj7 | Ebm7 Ab7 | Dbmaj7 | Ab7 | Dbmaj7 | Ebm7 Ab7 | Dbmaj7 | % |\n' +
      '[B]\n| Emaj7 | F#m7 B7 | Emaj7 | % | F#m7 | B7 | Emaj7 | Ebm7 Ab7 |\n' +
      '[A]\n| Dbmaj7 | Ebm7 Ab7 | Dbmaj7 | Ab7 | Dbmaj7 | Ebm7 Ab7 | Dbmaj7 | % |';
    const analysis = understood(text);
    const at = (bar: number): string => {
      const chord = analysis.chords.find((one) => one.bar === bar);
      return chord ? keyName(chord.localKey) : '';
    };
    expect([at(1), at(9), at(13), at(15), at(17)]).toEqual([
      'Db major',
      'E major',
      'E major',
      'E major',
      'Db major',
    ]);
    // The two-five at the end of the bridge already belongs to the key it leads back to.
    const back = analysis.chords.find(({ bar }) => bar === 16);
    expect(back?.roman).toBe('ii7');
  });

  it('hears the first chord of a section as its key', () => {
    const around = '| Cmaj7 | Dm7 G7 | Cmaj7 | Am7 | Dm7 | G7 | Cmaj7 | % |\n';
    const text = `key: C major\n[A]\n${around}[B]\n| F | D7 | F | % | Am | C7 | Bb | F |\n[A]\n${around}`;
    const bridge = understood(text).chords.filter(({ bar }) => bar >= 9 && bar <= 16);
    expect([...new Set(bridge.map(({ localKey }) => keyName(localKey)))]).toEqual(['F major']);
  });

  it('makes a modal stretch a home of its own', () => {
    const eight = (chord: string): string => `| ${chord} | % | % | % | % | % | % | % |`;
    const text = `[A]\n${eight('Dm7')}\n[A]\n${eight('Dm7')}\n[B]\n${eight('Ebm7')}\n[A]\n${eight('Dm7')}`;
    const analysis = understood(text);
    expect(keyName(analysis.key)).toBe('D minor');
    expect(keyName(analysis.chords[17]?.localKey ?? analysis.key)).toBe('Eb minor');
    expect(analysis.chords.every(({ roman }) => roman === 'i7')).toBe(true);
  });
});

describe('analyse: numerals and goals', () => {
  it('names secondary dominants by what they lead to', () => {
    // Secondary dominants of the degrees: Singer, "Secondary and Extended Dominants".
    const text =
      'key: C major\n| Cmaj7 A7 | Dm7 B7 | Em7 C7 | Fmaj7 D7 | G7 E7 | Am7 | Dm7 G7 | Cmaj7 |';
    expect(romans(text)).toBe(
      'Imaj7 V7/ii ii7 V7/iii iii7 V7/IV IVmaj7 V7/V V7 V7/vi vi7 ii7 V7 Imaj7',
    );
  });

  it('names the two of a secondary dominant after its goal when it is foreign to the key', () => {
    expect(romans('key: C major\n| Cmaj7 | Gm7 C7 | Fmaj7 | Dm7 G7 | Cmaj7 |')).toBe(
      'Imaj7 ii7/IV V7/IV IVmaj7 ii7 V7 Imaj7',
    );
  });

  it('sees the tritone substitute, alone and before five', () => {
    expect(romans('key: C major\n| Dm7 Db7 | Cmaj7 | Dm7 G7 | Cmaj7 |')).toBe(
      'ii7 subV7 Imaj7 ii7 V7 Imaj7',
    );
    const text = 'key: C major\n| Cmaj7 | Ab7 | Dm7 G7 | Cmaj7 |';
    expect(romans(text)).toBe('Imaj7 subV7/V ii7 V7 Imaj7');
    expect(goals(text)).toEqual([null, 3, 3, 4, null]);
  });

  it('lets a backdoor dominant reach home, and a dominant before a two-five wait for its five', () => {
    expect(goals('key: C major\n| Cmaj7 | Fm7 Bb7 | Cmaj7 | % |')).toEqual([
      null,
      2,
      3,
      null,
      null,
    ]);
    expect(goals('key: C major\n| Cmaj7 | D7 | Dm7 G7 | Cmaj7 |')).toEqual([null, 3, 3, 4, null]);
  });

  it('leads the end of the form to its top', () => {
    expect(goals('key: C major\n| Cmaj7 Am7 | Dm7 G7 |')).toEqual([null, 2, 3, 0]);
  });

  it('points at the first bar of a held goal, and gives every bar of a held dominant its goal', () => {
    expect(goals('key: C major\n| G7 | % | Cmaj7 | % |')).toEqual([2, 2, null, null]);
  });

  it('carries a dominant over a break, and leads nothing into it', () => {
    const text = 'key: C major\n| Cmaj7 | G7 | N.C. | Cmaj7 | Fmaj7 | N.C. |';
    expect(goals(text)).toEqual([null, 3, null, null, 0, null]);
  });

  it('understands a tune without chords, and one of a single chord', () => {
    expect(romans('| N.C. | % |')).toBe(' ');
    expect(romans('| Am7 | % | % | % |')).toBe('i7 i7 i7 i7');
  });

  it('gives N.C. neither numeral nor function', () => {
    const chord = understood('key: C major\n| N.C. | G7 | Cmaj7 | % |').chords[0];
    expect(chord).toMatchObject({ roman: '', function: 'none', prepares: null });
  });
});

describe('analyse: bad input', () => {
  it('hands on why a form cannot be played out', () => {
    const tune = { ...tuneOf('[A]\n| C | F |'), form: ['A', 'X'] };
    expect(analyse(tune, [])).toMatchObject({ ok: false, error: { code: 'tune/section' } });
  });
});
