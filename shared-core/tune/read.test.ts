import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { symbolOf } from '../chord/format.ts';
import { pitchName } from '../pitch/spelled.ts';
import { beatTicks } from '../time/meter.ts';
import { tuneMessage } from './messages.ts';
import type { Tune, WrittenBar } from './model.ts';
import { LARGEST_TEXT, readTune } from './read.ts';

function read(text: string): Tune {
  const { tune, errors } = readTune(text);
  expect(errors.map(tuneMessage)).toEqual([]);
  if (!tune) throw new Error('nothing was read');
  return tune;
}

function barsOf(tune: Tune): readonly WrittenBar[] {
  return tune.sections.flatMap((section) => section.bars);
}

/** Chords of each bar with the beat they stand on: `Cm7@1 F7@3`. */
function chords(text: string): string[] {
  const tune = read(text);
  let meter = tune.meter;
  return barsOf(tune).map((bar) => {
    meter = bar.meter ?? meter;
    const beat = beatTicks(meter);
    return bar.harmony
      .map((e) => `${symbolOf(e.harmony)}@${Number((e.at / beat + 1).toFixed(2))}`)
      .join(' ');
  });
}

/** Code, line and column of every mistake. */
function mistakes(text: string): string[] {
  return readTune(text).errors.map(
    ({ code, place }) => `${code} ${place.line ?? '-'}:${place.column ?? '-'}`,
  );
}

describe('head lines', () => {
  it('are read whatever their order and case', () => {
    const tune = read(
      'Tempo: 148\nTITLE: Lantern Street: Two\ncredit: trad.\nkey: Bb major\nmeter: 3/4\nfeel: medium swing\n| Bb |',
    );
    expect(tune).toMatchObject({
      title: 'Lantern Street: Two',
      credit: 'trad.',
      key: { tonic: -2, mode: 'major' },
      meter: { count: 3, unit: 4 },
      tempo: 148,
      feel: 'medium swing',
      form: null,
      pickup: 0,
    });
  });

  it('may all be left out', () => {
    expect(read('| C |')).toMatchObject({ key: null, tempo: null, feel: null, credit: null });
  });

  it('that cannot be read are reported with line and column, and the bars are still read', () => {
    const text = 'tilte: X\nkey: H dur\nmeter: 4/5\ntempo: fast\npickup: 9\ntempo: 100\n| C | F |';
    expect(mistakes(text)).toEqual([
      'tune/header-unknown 1:1',
      'tune/header-value 2:6',
      'tune/meter 3:8',
      'tune/header-value 4:8',
      'tune/pickup 5:9',
      'tune/header-value 6:1',
    ]);
    expect(readTune(text).tune?.sections[0]?.bars).toHaveLength(2);
  });

  it('give the pickup in beats of the meter, wherever the meter stands', () => {
    expect(read('pickup: 1\nmeter: 6/8\n| C | F |').pickup).toBe(1440);
    expect(read('pickup: 1 1/2\n| C | F |').pickup).toBe(1440);
    expect(barsOf(read('pickup: 1\n| C | F |')).map((bar) => bar.length)).toEqual([960, 3840]);
  });
});

describe('beats of a bar', () => {
  it('take one token each when there are as many tokens as beats', () => {
    expect(chords('| C / / G7 |')).toEqual(['C@1 G7@4']);
    expect(chords('meter: 5/4\n| C / / G7 / |')).toEqual(['C@1 G7@4']);
    expect(chords('| / / F / |')).toEqual(['F@3']);
  });

  it('are shared evenly where that falls on beats', () => {
    expect(chords('| C | C F | C Dm Em F |')).toEqual(['C@1', 'C@1 F@3', 'C@1 Dm@2 Em@3 F@4']);
    expect(chords('meter: 6/4\n| C F | C F G |')).toEqual(['C@1 F@4', 'C@1 F@3 G@5']);
  });

  it('that do not divide bring a request for / at that bar', () => {
    const text = '| C | C F G |\nmelody: | whole C4 |';
    expect(mistakes(text)).toEqual(['tune/bar-division 1:7']);
    expect(readTune(text).errors[0]?.place.bar).toBe(2);
    expect(tuneMessage(readTune(text).errors[0] as never)).toContain('4 in all, with /');
    expect(mistakes('meter: 3/4\n| C F |')).toEqual(['tune/bar-division 2:3']);
    expect(mistakes('meter: 5/4\n| C F |')).toEqual(['tune/bar-division 2:3']);
    expect(mistakes('| C / F |')).toEqual(['tune/bar-division 1:3']);
    expect(mistakes('| C D E F G A B C |')).toEqual(['tune/bar-division 1:3']);
  });

  it('of compound meters are the dotted ones, or the eighths when all are written', () => {
    expect(chords('meter: 6/8\n| C F | C / / F / / | C |')).toEqual(['C@1 F@2', 'C@1 F@2', 'C@1']);
    expect(chords('meter: 12/8\n| C / F / | C F |')).toEqual(['C@1 F@3', 'C@1 F@3']);
    expect(chords('meter: 6/8\n| C / / / / F |')).toEqual(['C@1 F@2.67']);
  });

  it('may be named where a chord falls between them', () => {
    expect(chords('| C F7@4+1/2 | C@1.5 G7@4& |')).toEqual(['C@1 F7@4.5', 'C@1.5 G7@4.5']);
    expect(mistakes('| C F7@5 | C@3 F@2 | C@1/0 |')).toEqual([
      'tune/bar-division 1:5',
      'tune/bar-division 1:16',
      'tune/bar-division 1:22',
    ]);
  });

  it('left empty let the chord before go on, and % says the bar before again', () => {
    expect(chords('| C | | F G | % |')).toEqual(['C@1', '', 'F@1 G@3', 'F@1 G@3']);
    // A bar that began with the chord before it begins with that chord again.
    expect(chords('| C | / / G / | % |')[2]).toBe('C@1 G@3');
    expect(mistakes('| % | C |')).toEqual(['tune/simile 1:3']);
    expect(mistakes('| C | % F |')).toEqual(['tune/simile 1:7']);
    expect(mistakes('| C | (3/4) % |')).toEqual(['tune/simile 1:13']);
  });
});

describe('chords', () => {
  it('may be N.C. in any of its spellings, and bracketed', () => {
    expect(chords('| N.C. | NC | N. C. | no chord | Am (Em) |')).toEqual([
      'N.C.@1',
      'N.C.@1',
      'N.C.@1',
      'N.C.@1',
      'Am@1 (Em)@3',
    ]);
  });

  it('that cannot be read are reported, and the rest of the tune is read', () => {
    const text = '| C | Hmaj7 |\n| Cfoo | F |';
    expect(mistakes(text)).toEqual(['tune/chord 1:7', 'tune/chord 2:4']);
    expect(readTune(text).tune?.sections[0]?.bars).toHaveLength(4);
  });

  it('may stand close to the signs', () => {
    expect(chords('|C|F G|Am:|')).toEqual(['C@1', 'F@1 G@3', 'Am@1']);
  });
});

describe('signs of the form', () => {
  it('are read in the spellings of the trade', () => {
    for (const text of ['D.S. al Coda', 'D.S. al coda', 'DS AL CODA', 'Dal Segno al Coda']) {
      expect(
        barsOf(read(`| C Segno | D To Coda | E ${text} | Coda F |`)).map((bar) => bar.jump)[2],
        text,
      ).toEqual({ to: 'segno', al: 'coda' });
    }
    for (const text of ['D.C. al Fine', 'DC al fine', 'Da Capo al Fine', 'D. C. al Fine']) {
      expect(barsOf(read(`| C Fine | E ${text} |`))[1]?.jump, text).toEqual({
        to: 'capo',
        al: 'fine',
      });
    }
  });

  it('may stand at the start or at the end of a bar', () => {
    const bars = barsOf(
      read('| Segno C | To Coda D | E To Coda | Fine F | G D.S. al Coda | 𝄌 A Fine |'),
    );
    expect(bars.map((bar) => bar.marks.join())).toEqual([
      'segno',
      'to-coda',
      'to-coda',
      'fine',
      '',
      'coda,fine',
    ]);
  });

  it('open and close repeats, with counts and endings in both spellings', () => {
    const signs = (text: string) =>
      barsOf(read(text)).map(
        (bar) => `${bar.repeatStart ? '|:' : ''}${bar.endings.join()}${bar.repeatEnd || ''}`,
      );
    expect(signs('|: A |1 B :|2 C :|3 D |')).toEqual(['|:', '12', '22', '3']);
    expect(signs('|: A | 1,3. B :| 2. C :|')).toEqual(['|:', '1,32', '22']);
    expect(signs('|: A | 1-2. B :| 3. C |')).toEqual(['|:', '1,22', '3']);
    expect(signs('|: A :|x3 B |')).toEqual(['|:3', '']);
    expect(signs('|: A :| |: B :|x4 |: C :|')).toEqual(['|:2', '|:4', '|:2']);
    expect(signs('|: A :|: B :|')).toEqual(['|:2', '|:2']);
    expect(signs('| A |:\n| B :|')).toEqual(['', '|:2']);
    expect(signs('| A | B\n:| C |'.replace('B\n', 'B |\n'))).toEqual(['', '2', '']);
  });

  it('that do not fit are reported at their bar', () => {
    expect(mistakes('|: C | F |')).toEqual(['tune/repeat 1:4']);
    expect(mistakes('|: C |1 F |2 G |')).toEqual(['tune/ending 1:7']);
    expect(mistakes('|: C |1 F :|3 G |')).toEqual(['tune/ending 1:7']);
    expect(mistakes('| C | F D.S. |')).toEqual(['tune/jump 1:7']);
    expect(mistakes('| C | F D.C. al Fine |')).toEqual(['tune/jump 1:7']);
    expect(mistakes('| C | F D.C. |')).toEqual(['tune/form-endless 1:7']);
    expect(mistakes('| C x3 |')).toEqual(['tune/repeat 1:5']);
    expect(mistakes(':| C |')).toEqual(['tune/repeat 1:1']);
    expect(mistakes('| C 2. F |')).toEqual(['tune/ending 1:5']);
    expect(mistakes('| C D.C. al Fine D.C. | F Fine |')).toEqual(['tune/jump 1:18']);
  });

  it('that multiply past all bounds are refused as endless', () => {
    expect(mistakes('|: |: C :|')).toEqual(['tune/repeat 1:3']);
    expect(mistakes('|: C |: D |: E :|x99 F :|x99 G :|x99 A |')).toEqual([
      'tune/form-endless 1:14',
    ]);
  });
});

describe('meters', () => {
  it('change at the start of a bar', () => {
    const bars = barsOf(read('| C | (3/4) C | F | (C|) G |'));
    expect(bars.map((bar) => bar.length)).toEqual([3840, 2880, 2880, 3840]);
    expect(bars[3]?.meter).toEqual({ count: 2, unit: 2 });
  });

  it('that cannot be are reported', () => {
    expect(mistakes('| (0/4) C | (4/3) F | (99/4) C | C (3/4) |')).toEqual([
      'tune/meter 1:3',
      'tune/meter 1:13',
      'tune/meter 1:23',
      'tune/meter 1:36',
    ]);
  });

  it('are kept by bars that say their own length', () => {
    expect(barsOf(read('| C | (3 beats) F | (1 1/2 beats) G |')).map((b) => b.length)).toEqual([
      3840, 2880, 1440,
    ]);
    expect(mistakes('| (5 beats) C | C (2 beats) | (no beats) C |')).toEqual([
      'tune/bar-division 1:3',
      'tune/bar-division 1:19',
      'tune/bar-division 1:31',
    ]);
  });
});

describe('sections', () => {
  it('start at a line with a name in brackets, with or without bars after it', () => {
    const tune = read('[A]\n| C |\n[Solo break] | F |\nform: A, Solo break, A');
    expect(tune.sections.map((section) => section.label)).toEqual(['A', 'Solo break']);
    expect(tune.form).toEqual(['A', 'Solo break', 'A']);
  });

  it('are put in order by the form, which may be written in one word', () => {
    expect(read('form: AABA\n[A]\n| C |\n[B]\n| F |').form).toEqual(['A', 'A', 'B', 'A']);
  });

  it('named by the form but missing, named twice, or empty, are reported', () => {
    expect(mistakes('form: A B\n[A]\n| C |')).toEqual(['tune/section 1:9']);
    expect(mistakes('form: A\n[A]\n| C |\n[A]\n| F |')).toEqual(['tune/section 1:7']);
    expect(mistakes('[A]\n| C |\n[B]\n')).toEqual(['tune/section 3:1']);
  });
});

describe('melody lines', () => {
  const notes = (text: string) =>
    barsOf(read(text)).map((bar) =>
      bar.melody.map((note) => `${note.at}+${note.length} ${pitchName(note.pitch)}`),
    );

  it('give each bar its notes: lengths hold until the next one, words or fractions', () => {
    expect(
      notes('| C | F |\nmelody: | quarter C4 rest half Eb4 | dotted quarter F#4 1/8 G4 1/2 A4 |'),
    ).toEqual([
      ['0+960 C4', '1920+1920 Eb4'],
      ['0+1440 F#4', '1440+480 G4', '1920+1920 A4'],
    ]);
  });

  it('tie over the bar line, over the line end, and past the end of the section', () => {
    expect(notes('| C | F |\nmelody: | half C4 G4~ | whole G4~ |\nmelody: | quarter G4 |')).toEqual(
      [['0+1920 C4', '1920+6720 G4'], []],
    );
  });

  it('read triplets', () => {
    expect(notes('| C |\nmelody: triplet quarter C4 D4 E4 1/12 F4 G4 A4 quarter r |')[0]).toEqual([
      '0+640 C4',
      '640+640 D4',
      '1280+640 E4',
      '1920+320 F4',
      '2240+320 G4',
      '2560+320 A4',
    ]);
  });

  it('take the nearest octave where none is written', () => {
    expect(notes('| C |\nmelody: | Bb4 C F B |')[0]?.map((note) => note.split(' ')[1])).toEqual([
      'Bb4',
      'C5',
      'F5',
      'B5',
    ]);
  });

  it('leave out whole bars, and bars at the end', () => {
    expect(notes('| C | F | G |\nmelody: | | whole C4 |').map((bar) => bar.length)).toEqual([
      0, 1, 0,
    ]);
  });

  it('that do not fill or fit their bars are reported', () => {
    expect(mistakes('| C |\nmelody: | half C4 |')).toEqual(['tune/melody 2:11']);
    expect(mistakes('| C |\nmelody: | whole C4 D4 |')).toEqual(['tune/melody 2:11']);
    expect(mistakes('| C |\nmelody: | whole C4 | D4 |')).toEqual(['tune/melody 2:22']);
    expect(mistakes('| C |\nmelody: | whole H4 |')[0]).toEqual('tune/melody 2:17');
    expect(mistakes('| C |\nmelody: | half C4~ D4 |')).toEqual(['tune/melody 2:20']);
    expect(mistakes('| C |\nmelody: | whole C4~ |')).toEqual(['tune/melody 2:9']);
    expect(mistakes('| C |\nmelody: | dotted C4 |')[0]).toEqual('tune/melody 2:11');
    expect(mistakes('| C |\nmelody: | whole C10 |')[0]).toEqual('tune/melody 2:17');
    expect(mistakes('melody: | whole C4 |\n| C |')).toEqual(['tune/melody 1:1']);
  });
});

describe('texts that are no tunes', () => {
  it('are refused with what to do', () => {
    expect(mistakes('')).toEqual(['tune/empty -:-']);
    expect(mistakes(' \n \n')).toEqual(['tune/empty -:-']);
    expect(mistakes('title: X\n')).toEqual(['tune/no-bars 2:-']);
    expect(mistakes('PK\u0003\u0004abc')).toEqual(['tune/binary 1:-']);
    expect(mistakes('| C |'.repeat(LARGEST_TEXT))).toEqual(['tune/too-large -:-']);
  });

  it('of one bar without its closing line are still read', () => {
    expect(mistakes('| C | F')).toEqual(['tune/bar-unclosed 1:8']);
    expect(readTune('| C | F').tune?.sections[0]?.bars).toHaveLength(2);
    expect(mistakes('| C |\nsome words\n| F |')).toEqual(['tune/bar-unclosed 2:1']);
  });

  it('with other line ends and a byte order mark read the same', () => {
    expect(readTune('\uFEFFtitle: X\r\n| C |\r| F |')).toEqual(readTune('title: X\n| C |\n| F |'));
  });
});

describe('any text at all', () => {
  const piece = fc.constantFrom(
    ...'| |: :| :|x3 % / N.C. C Bbmaj7 F#m7b5/E (Em) ( ) [A] [B] form: A B pickup: 1 meter: 3/4 (3/4) (2 beats) 1. 2. 1,3. Segno Coda Fine D.C. D.S. To @3 C@2.5 melody: quarter C4 Eb5~ 1/8 rest ~ x :'.split(
      ' ',
    ),
    'To Coda',
    'D.S. al Coda',
    '\n',
    '\n',
    ' ',
  );

  it('is read without a crash, and every mistake has a sentence', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.array(piece, { maxLength: 60 }).map((pieces) => pieces.join(' ')),
          fc.string({ maxLength: 200, unit: 'binary' }),
          fc.string({ maxLength: 200 }).map((text) => `| ${text} |`),
        ),
        (text) => {
          const { tune, errors } = readTune(text);
          expect(tune !== null || errors.length > 0).toBe(true);
          for (const error of errors) {
            expect(tuneMessage(error)).toMatch(/[.)]$/u);
            expect(tuneMessage(error)).not.toContain('undefined');
          }
        },
      ),
      { numRuns: 500 },
    );
  });
});
