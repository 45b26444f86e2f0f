import { describe, expect, it } from 'vitest';
import { symbolOf } from '../chord/format.ts';
import { addressOf, barAt, meterOffset, ticksAt } from './address.ts';
import type { Chorus } from './model.ts';
import { readTune } from './read.ts';
import { unroll } from './unroll.ts';

function chorusOf(text: string): Chorus {
  const { tune, errors } = readTune(text);
  expect(errors).toEqual([]);
  if (!tune) throw new Error('nothing was read');
  const chorus = unroll(tune);
  if (!chorus.ok) throw new Error(JSON.stringify(chorus.error));
  return chorus.value;
}

/** The chords in playing order. */
function played(text: string): string {
  return chorusOf(text)
    .harmony.map(({ harmony }) => symbolOf(harmony))
    .join(' ');
}

/** Numbers, down the page, of the bars in playing order. */
function order(text: string): string {
  return chorusOf(text)
    .bars.map(({ writtenBar }) => writtenBar + 1)
    .join(' ');
}

describe('repeats', () => {
  it('with three endings play each pass its own', () => {
    expect(played('|: A |1 B :|2 C :|3 D |')).toBe('A B A C A D');
  });

  it('without an opening sign go back to the bar after the last closing sign, or the start', () => {
    expect(played('|: C | D :| E |1 F :|2 G |')).toBe('C D C D E F E G');
    expect(played('| C | D :| E |')).toBe('C D C D E');
    expect(played('| C | D :| E | F :| G |')).toBe('C D C D E F E F G');
  });

  it('nest', () => {
    expect(played('|: A |: B :| C :| D |')).toBe('A B B C A B B C D');
    expect(played('|: A |: B |1 C :|2 D | E :| F |')).toBe('A B C B D E A B C B D E F');
  });

  it('are played as often as their count says', () => {
    expect(played('|: A :|x3 B |')).toBe('A A A B');
  });

  it('play endings named for several passes', () => {
    expect(played('|: A | 1,3. B :| 2. C :| D |')).toBe('A B A C A B D');
    expect(played('|: A | 1-3. B :| 4. C | D |')).toBe('A B A B A B A C D');
  });

  it('with a first ending alone leave it out the second time', () => {
    expect(played('|: A | 1. B :| C |')).toBe('A B A C');
  });

  it('may close a last ending that needs no sign', () => {
    expect(played('|: A |1 B :|2 C :| D |')).toBe('A B A C D');
  });

  it('hold a last ending as long as the one before it when a later repeat has no opening sign', () => {
    expect(played('|: A |1 B :|2 C | D | E :|')).toBe('A B A C D E D E');
  });

  it('in sections put in order by a form stay inside their section', () => {
    expect(played('form: B A\n[A]\n| C | D :|\n[B]\n| E | F :|')).toBe('E F E F C D C D');
  });
});

describe('jumps', () => {
  it('go to the segno, then from To Coda to the coda', () => {
    for (const jump of ['D.S. al Coda', 'D.S. al coda', 'DS AL CODA', 'Dal Segno al Coda']) {
      expect(order(`| A | Segno B | C To Coda | D ${jump} | Coda E | F |`), jump).toBe(
        '1 2 3 4 2 3 5 6',
      );
    }
  });

  it('go to the start and end at Fine', () => {
    expect(order('| A | B Fine | C | D D.C. al Fine |')).toBe('1 2 3 4 1 2');
    expect(order('| A | B Fine | C | D D.C. |')).toBe('1 2 3 4 1 2');
    expect(order('| A | Segno B | C Fine | D D.S. al Fine |')).toBe('1 2 3 4 2 3');
  });

  it('are taken after the repeats around them, and repeats are not taken again', () => {
    expect(order('|: A :| B Fine | C D.C. al Fine |')).toBe('1 1 2 3 1 2');
    expect(order('|: A |1 B :|2 C To Coda | D D.C. al Coda | Coda E |')).toBe('1 2 1 3 4 1 3 5');
    expect(
      order('|: A | B D.C. al Coda :| C To Coda | Coda D |'.replace('B D', 'B To Coda D')),
    ).toBe('1 2 1 2 1 2 4');
  });

  it('may follow one another, each taken once', () => {
    expect(order('| A Segno | B To Coda | C D.S. al Coda | Coda D Fine | E D.C. al Fine |')).toBe(
      '1 2 3 1 2 4 5 1 2 3 4',
    );
  });

  it('in the middle without Fine or Coda go on past their bar the second time', () => {
    expect(order('| A | B D.C. | C |')).toBe('1 2 1 2 3');
  });

  it('take repeats in the coda', () => {
    expect(order('| A To Coda | B D.C. al Coda |: Coda C :|')).toBe('1 2 1 3 3');
  });
});

describe('a pickup', () => {
  const text = ['pickup: 1', '|: N.C. | C | F | C | G7 |', '| C | F | C | (3 beats) G7 :|'].join(
    '\n',
  );

  it('inside a repeat is played each time, its beat taken from the last bar', () => {
    const chorus = chorusOf(text);
    expect(chorus.length / 960).toBe(64);
    expect((chorus.bars[9]?.start ?? 0) / 960).toBe(32);
    expect(chorus.bars.map(({ number }) => number)).toEqual([
      0, 1, 2, 3, 4, 5, 6, 7, 8, 8, 9, 10, 11, 12, 13, 14, 15, 16,
    ]);
  });

  it('brings no chord of its own at the join', () => {
    expect(played(text.replace('N.C.', '').replace('|: ', '|:')).split(' ').slice(8, 11)).toEqual([
      'G7',
      'C',
      'F',
    ]);
  });

  it('lies at the end of its meter, also where it fills up the bar before', () => {
    const chorus = chorusOf(text);
    expect([0, 1, 8, 9, 10].map((index) => meterOffset(chorus, index))).toEqual([
      2880, 0, 0, 2880, 0,
    ]);
  });

  it('is left out when a form or D.C. comes back to the top after a full bar', () => {
    const bars = chorusOf('pickup: 1\nform: A A\n[A]\n| C | F | G |').bars;
    expect(bars.map(({ writtenBar }) => writtenBar)).toEqual([0, 1, 2, 1, 2]);
    expect(bars.map(({ startsSection }) => startsSection)).toEqual([
      false,
      true,
      false,
      true,
      false,
    ]);
    expect(order('pickup: 1\n| C | F Fine | G D.C. al Fine |')).toBe('1 2 3 2');
    expect(order('pickup: 1\n| C | F Fine | (3 beats) G D.C. al Fine |')).toBe('1 2 3 1 2');
  });
});

describe('harmony', () => {
  it('rings on over blank beats, bar lines and line ends', () => {
    const chorus = chorusOf('| Gm | / / F / |\n| |');
    expect(
      chorus.harmony.map(({ start, length, harmony }) => [symbolOf(harmony), start, length]),
    ).toEqual([
      ['Gm', 0, 5760],
      ['F', 5760, 1920 + 3840],
    ]);
  });

  it('before the first chord is N.C.', () => {
    expect(played('| | C |')).toBe('N.C. C');
  });

  it('rings on in playing order, not in page order', () => {
    expect(played('form: B A\n[A]\n| C | |\n[B]\n| F | G |')).toBe('F G C');
    const chorus = chorusOf('form: A B A\n[A]\n| | C |\n[B]\n| F | |');
    expect(chorus.harmony.map(({ length }) => length / 3840)).toEqual([1, 1, 3, 1]);
  });
});

describe('melody', () => {
  it('is cut where the next note or the end comes, whatever was tied', () => {
    const chorus = chorusOf('|: C | F :|\nmelody: | half C4 E4 | G4 A4~ | whole A4 |');
    expect(chorus.melody.map(({ start, length }) => [start / 960, length / 960])).toEqual([
      [0, 2],
      [2, 2],
      [4, 2],
      [6, 2],
      [8, 2],
      [10, 2],
      [12, 2],
      [14, 2],
    ]);
  });
});

describe('meters', () => {
  it('run on down the page whatever the order of the sections', () => {
    const bars = chorusOf('form: B A\n[A]\n| C |\n[B]\n| (3/4) F | F |').bars;
    expect(bars.map(({ meter }) => meter.count)).toEqual([3, 3, 4]);
  });
});

describe('addresses', () => {
  const chorus = chorusOf('| C | (3/4) F | (6/8) G |');

  it('name bar and beat, and lead back to the tick', () => {
    expect(addressOf(chorus, 0)).toEqual({ bar: 1, beat: 1 });
    expect(addressOf(chorus, 3840 + 1440)).toEqual({ bar: 2, beat: 2.5 });
    expect(addressOf(chorus, 3840 + 2880 + 1440)).toEqual({ bar: 3, beat: 2 });
    for (let ticks = 0; ticks < chorus.length; ticks += 120) {
      const { bar, beat } = addressOf(chorus, ticks);
      expect(ticksAt(chorus, bar, beat)).toBe(ticks);
    }
  });

  it('past the end are taken around to the top', () => {
    expect(addressOf(chorus, chorus.length + 960)).toEqual({ bar: 1, beat: 2 });
    expect(barAt(chorus, chorus.length).index).toBe(0);
  });

  it('that the chorus does not have are programmer errors', () => {
    expect(() => ticksAt(chorus, 4, 1)).toThrow(RangeError);
    expect(() => ticksAt(chorus, 2, 4)).toThrow(RangeError);
    expect(() => ticksAt(chorus, 1, 0)).toThrow(RangeError);
    expect(() => addressOf(chorus, -1)).toThrow(RangeError);
  });
});
