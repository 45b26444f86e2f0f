import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, type TestPlacement, tuneOf } from '../../tests/support/parts.ts';
import { symbolOf } from '../chord/format.ts';
import { pitchName } from '../pitch/spelled.ts';
import type { Part, PartMeasure } from './model.ts';
import { unrollPart } from './unroll.ts';

const TUNE = tuneOf(
  [
    'title: Roles',
    'key: Bb major',
    'meter: 4/4',
    'tempo: 120',
    'form: A',
    '',
    '[A]',
    '| Bbmaj7 | Bbmaj7 | Cm7/F | F7 | Bbmaj7 | N.C. | Gm7 C7@4+1/2 | F7 |',
    'melody: | whole D5 | whole F5 | whole Eb5 | whole C5 | whole D5 | whole rest | whole Bb4 | whole A4 |',
  ].join('\n'),
);

/** Minor four over a held home chord: the flat third of four (Gb) tells, and falls to the fifth (F). */
const OVER: TestPlacement = {
  chorus: 2,
  layer: 'soloist',
  bar: 1,
  changes: [
    [4, 'Bbmaj7'],
    [2, 'Ebm6'],
    [2, 'Bbmaj7'],
  ],
  tells: -6,
  home: -1,
};
const BAND: TestPlacement = {
  chorus: 2,
  layer: 'band',
  bar: 5,
  changes: [
    [2, 'Fm7'],
    [2, 'Bb7'],
  ],
};

function part(chair: string, options?: Parameters<typeof partOf>[3]): Part {
  const state = arrangementOf(
    TUNE,
    ['Head', 'Solo'],
    [OVER, BAND],
    [
      { chair: 'guitar', start: 0, length: 3840, words: 'lay out' },
      { chair: 'bass', start: 3 * 3840, length: 3840, words: 'two-feel' },
    ],
  );
  return partOf(TUNE, state, chair, { layout: 'written-out', ...options });
}

function bar(of: Part, chorus: number, number: number): PartMeasure {
  const found = unrollPart(of).find(
    (played) => played.chorus === chorus && played.measure.number === number,
  );
  if (!found) throw new Error(`No bar ${number} in chorus ${chorus}`);
  return found.measure;
}

const chords = (list: PartMeasure['band'] | null): string[] | null =>
  list?.map(({ at, harmony }) => `${at / 960 + 1} ${symbolOf(harmony)}`) ?? null;

const notes = (measure: PartMeasure): string[] =>
  measure.events.map((event) =>
    event.kind === 'note'
      ? `${event.pitches.map(pitchName).join('+')} ${event.length}${event.mark ? ` ${event.mark}` : ''}`
      : `${event.kind} ${event.length}`,
  );

describe('comping and soloist charts of one arrangement', () => {
  it('differ where the soloist goes his own way: the comping chart keeps its changes and gets a cue', () => {
    const guitar = bar(part('guitar'), 2, 2);
    expect(chords(guitar.band)).toEqual(['1 Bbmaj7']);
    expect(guitar.solo).toBeNull();
    expect(guitar.cues.map((cue) => [cue.words, chords(cue.harmonies)])).toEqual([
      ['over the top', ['1 Ebm6', '3 Bbmaj7']],
    ]);
    const tenor = bar(part('tenor'), 2, 2);
    expect(chords(tenor.solo)).toEqual(['1 Fm6', '3 Cmaj7']);
    expect(tenor.cues).toEqual([]);
  });

  it('say who leads where two chairs comp and the band moves', () => {
    const words = (chair: string): readonly string[] =>
      bar(part(chair), 2, 5).directions.map((direction) => direction.words);
    expect(words('guitar')).toEqual(['lead the changes']);
    expect(words('piano')).toEqual(['follow Guitar']);
    expect(words('bass')).toEqual([]);
  });

  it('name a scale only where the symbol does not say it', () => {
    expect(bar(part('tenor'), 2, 2).scales).toEqual([{ at: 0, words: 'melodic minor' }]);
    expect(bar(part('tenor'), 2, 1).scales).toEqual([]);
  });

  it('agree where the whole band moves', () => {
    expect(chords(bar(part('guitar'), 2, 5).band)).toEqual(['1 Fm7', '3 Bb7']);
    expect(chords(bar(part('bass'), 2, 5).band)).toEqual(['1 Fm7', '3 Bb7']);
    const tenor = bar(part('tenor'), 2, 5);
    expect(chords(tenor.band)).toEqual(['1 Gm7', '3 C7']);
    expect(tenor.solo).toBeNull();
  });
});

describe('the soloist’s staff', () => {
  it('spells the arpeggio of the superimposed chord, marks the note that tells and brings it home', () => {
    // Written for tenor, a ninth above: Ebm6 is Fm6 (F Ab C D), Gb is Ab, F is G.
    const tenor = notes(bar(part('tenor'), 2, 2));
    expect(tenor.slice(0, 4).map((note) => note.replace(/\d /u, ' '))).toEqual([
      'F 480',
      'Ab 480 tells',
      'C 480',
      'D 480',
    ]);
    expect(tenor[4]).toMatch(/^G\d 1920 home$/u);
  });

  it('has the melody in the head and the guide-tone line elsewhere', () => {
    expect(notes(bar(part('tenor'), 1, 1))[0]).toMatch(/^E\d 3840$/u);
    expect(notes(bar(part('tenor'), 2, 4))[0]).toMatch(/^[BF]\d 3840$/u);
    expect(notes(bar(part('tenor', { melody: false }), 1, 1))[0]).toMatch(/^[EB]\d 3840$/u);
    expect(notes(bar(part('tenor', { guideTones: false }), 2, 4))).toHaveLength(4);
  });

  it('puts the note that tells on top of the arpeggio where it is none of its four', () => {
    const known = tuneOf('title: T\nkey: C major\nmeter: 4/4\n\n| Cmaj7 | Cmaj7 |');
    // The ninth of F minor, G, is not spelled by root, third, fifth and seventh.
    const place = { chorus: 1, layer: 'soloist', bar: 1, tells: 1, home: 4 } as const;
    const state = arrangementOf(known, ['Open'], [{ ...place, changes: [[4, 'Fm9']] }]);
    const written = notes(bar(partOf(known, state, 'trombone'), 1, 1));
    expect(written.map((note) => note.replace(/\d /u, ' '))).toEqual([
      'F 960',
      'Ab 960',
      'C 960',
      'G 960 tells',
    ]);
  });

  it('has an example line on demand: other notes by another seed, inside the range, none in the head', () => {
    const line = (seed: number): readonly string[] =>
      [2, 3, 4].flatMap((number) =>
        notes(bar(part('tenor', { exampleLine: { degree: 'medium', seed } }), 2, number)),
      );
    expect(line(1)).toEqual(line(1));
    expect(line(1)).not.toEqual(line(2));
    expect(line(1).length).toBeGreaterThan(6);
    const head = part('tenor', { exampleLine: { degree: 'busy', seed: 1 } });
    expect(notes(bar(head, 1, 1))).toEqual(notes(bar(part('tenor'), 1, 1)));
  });

  it('rests in the head that another soloist plays, and counts it in one line', () => {
    const trumpet = part('trumpet', { layout: 'auto' });
    expect(trumpet.blocks[0]).toMatchObject({ choruses: [1], rests: true });
    expect(notes(bar(trumpet, 1, 1))).toEqual(['rest 3840']);
    expect(bar(trumpet, 1, 1).band).toEqual([]);
  });
});

describe('the rhythm section’s staves', () => {
  it('show a push where it is played', () => {
    expect(notes(bar(part('guitar'), 1, 7))).toEqual([
      'slash 960',
      'slash 960',
      'slash 960',
      'rest 480',
      'hit 480',
    ]);
  });

  it('rest where nothing is to be played', () => {
    expect(notes(bar(part('guitar'), 1, 6))).toEqual(['rest 3840']);
    expect(notes(bar(part('bass'), 1, 6))).toEqual(['rest 3840']);
    expect(notes(bar(part('guitar'), 1, 1))).toEqual(['rest 3840']);
    expect(bar(part('guitar'), 1, 1).directions.map(({ words }) => words)).toEqual([
      'lay out',
      'in at bar 2',
    ]);
    expect(notes(bar(part('guitar'), 2, 1))).toHaveLength(4);
  });

  it('give the bass the note each chord stands on, slash basses too', () => {
    // Written pitch, an octave above sounding.
    expect(notes(bar(part('bass'), 1, 3))).toEqual([
      'F2 960',
      'slash 960',
      'slash 960',
      'slash 960',
    ]);
    expect(notes(bar(part('bass'), 1, 4))).toEqual(['F2 1920', 'C3 1920']);
  });

  it('give the drums the form and the pushes, no chords', () => {
    const drums = bar(part('drums'), 1, 7);
    expect(drums.band).toEqual([]);
    expect(notes(drums).at(-1)).toBe('hit 480');
  });

  it('write a walking line of four notes a bar on demand', () => {
    const walked = bar(part('bass', { walkingLine: true }), 1, 1);
    expect(walked.events).toHaveLength(4);
    expect(walked.events.every((event) => event.kind === 'note')).toBe(true);
  });

  it('show guitar shapes as frets and piano voicings as notes on demand', () => {
    const guitar = bar(part('guitar', { voicings: true }), 1, 1);
    expect(guitar.voicings[0]?.voicing.frets).toHaveLength(6);
    const piano = part('piano', { voicings: true });
    expect(piano.reading.staves).toBe(2);
    const [first] = bar(piano, 1, 1).events;
    expect(first?.kind === 'note' ? first.pitches.length : 0).toBeGreaterThan(1);
  });
});

describe('the head', () => {
  it('says form, road map, key and transposition, the same road map on every part', () => {
    const tenor = part('tenor');
    expect(tenor.head.form).toBe('A, 8 bars');
    expect(tenor.head.road).toBe('1 Head · 2 Solo');
    expect(tenor.head.transposition).toBe('in B♭');
    expect(tenor.key).toEqual({ tonic: 0, mode: 'major' });
    expect(part('alto').head.transposition).toBe('in E♭');
    expect(part('bass').head.transposition).toBe('sounds an octave lower');
    expect(part('trombone').head.transposition).toBe('concert pitch');
    expect(part('drums').head.road).toBe(tenor.head.road);
  });
});
