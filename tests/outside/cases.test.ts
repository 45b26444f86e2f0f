import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { printedMeasures } from '../../shared-core/parts/printed.ts';
import { concertLine, unrollPart } from '../../shared-core/parts/unroll.ts';
import { midiBytes } from '../../shared-core/performance/midi.ts';
import type { Performance, PerformedNote } from '../../shared-core/performance/model.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import type { PerformOptions } from '../../shared-core/performance/stage.ts';
import { arrangementOf, BAND, type KnownTune, partOf, tuneOf } from '../support/parts.ts';

/**
 * Cases that cross several folders, from typed text to staff and sound.
 * Source: our own list of input cases; the right results are common practice, no source.
 */

const BEAT = 960;
const BAR = 4 * BEAT;

function known(bars: string, head = 'key: C\nmeter: 4/4\ntempo: 120\nfeel: straight'): KnownTune {
  return tuneOf(`title: T\n${head}\n\n[A]\n${bars}\n`);
}

function played(tune: KnownTune, options: PerformOptions = { countInBars: 0 }): Performance {
  return perform({
    tune: tune.tune,
    chorus: tune.analysis.chorus,
    key: tune.analysis.key,
    state: emptyArrangement('T', 1),
    band: BAND,
    options,
  });
}

function chair(performance: Performance, id: string): readonly PerformedNote[] {
  return performance.tracks.find((track) => track.chair === id)?.notes ?? [];
}

/** Chord symbols a chair reads, in playing order. */
function readBy(tune: KnownTune, id: string): string {
  return unrollPart(partOf(tune, arrangementOf(tune, ['Open']), id))
    .flatMap(({ measure }) => measure.band.map(({ harmony }) => symbolOf(harmony)))
    .join(' ');
}

/** Pitch classes under way in a stretch, low to high and each once. */
function heardIn(notes: readonly PerformedNote[], from: number, to: number): number[] {
  const inside = notes.filter(({ start, length }) => start < to && start + length > from);
  return [...new Set(inside.map(({ midi }) => midi % 12))].sort((a, b) => a - b);
}

describe('a bracketed chord', () => {
  it.each([
    ['a bar', '| Am | (Em) |', BAR, 2 * BAR],
    ['half a bar', '| Am (Em) |', BAR / 2, BAR],
    ['a beat', '| Am / / (Em) |', 3 * BEAT, BAR],
  ])('of %s is printed in brackets and sounds as E minor', (_length, bars, from, to) => {
    const tune = known(bars);
    expect(readBy(tune, 'guitar')).toContain('(Em)');
    for (const id of ['guitar', 'piano', 'bass'])
      for (const pc of heardIn(chair(played(tune), id), from, to))
        expect([4, 7, 11, 2, 6]).toContain(pc);
    expect(heardIn(chair(played(tune), 'bass'), from, from + BEAT)).toEqual([4]);
  });
});

describe('bars without a chord', () => {
  it.each(['N.C.', 'NC', 'N. C.', 'no chord'])('written %s are read and silent', (words) => {
    const tune = known(`| C | ${words} | ${words} | G7 |`);
    expect(readBy(tune, 'tenor')).toBe('D N.C. N.C. A7');
    for (const id of ['guitar', 'piano', 'bass'])
      expect(heardIn(chair(played(tune), id), BAR, 3 * BAR), id).toEqual([]);
  });
});

describe('chords in a foreign key', () => {
  it('of the flat side stay flat in C, and go to the alto without a sharp', () => {
    const tune = known('| C | Bb7 | C |');
    expect(readBy(tune, 'guitar')).toBe('C Bb7 C');
    expect(readBy(tune, 'alto')).toBe('A G7 A');
  });

  it('of concert E reach the alto in five flats, none of them a sharp', () => {
    expect(readBy(known('| E6 | F#m7 B7 | E6 |', 'key: E'), 'alto')).toBe('Db6 Ebm7 Ab7 Db6');
  });

  it('of a bridge a minor third higher reach the tenor in the bridge’s own spelling', () => {
    const tune = tuneOf('title: T\nkey: A\n\n[A]\n| A6 | Bm7 E7 |\n[B]\n| Cmaj7 | Dm7 G7 |\n');
    expect(readBy(tune, 'tenor')).toBe('B6 C#m7 F#7 Dmaj7 Em7 A7');
  });
});

describe('a form', () => {
  const letters = ['C', 'D', 'C', 'D', 'E', 'F', 'E', 'G'];

  it('with a missing opening sign is the same on paper, at the cursor and in sound', () => {
    const tune = known('|: C | D :| E |1 F :|2 G |');
    expect(tune.analysis.chorus.harmony.map(({ harmony }) => symbolOf(harmony))).toEqual(letters);
    const line = concertLine(partOf(tune, emptyArrangement('T', 1), 'bass'), 'band');
    expect(line.map(({ harmony }) => symbolOf(harmony))).toEqual(letters);
    const roots = chair(played(tune), 'bass').filter(({ start }) => start % BAR === 0);
    expect(roots.map(({ midi }) => midi % 12)).toEqual([0, 2, 0, 2, 4, 5, 4, 7]);
  });

  it('with three endings plays each pass its own, on paper too', () => {
    expect(readBy(known('|: A |1 B :|2 C :|3 D |'), 'guitar')).toBe('A B A C A D');
  });

  it.each(['D.S. al Coda', 'D.S. al coda', 'DS AL CODA', 'Dal Segno al Coda'])(
    'with %s jumps to the segno and out at To Coda, on paper too',
    (jump) => {
      const bars = `| C | Segno Dm | Em To Coda | F ${jump} | Coda G | Am |`;
      expect(readBy(known(bars), 'guitar')).toBe('C Dm Em F Dm Em G Am');
    },
  );

  it('with a pickup inside the repeat lasts 32 beats a pass, with no hit of its own at the join', () => {
    const head = 'key: C\nmeter: 4/4\ntempo: 120\nfeel: straight\npickup: 1';
    const tune = known('|: N.C. | C | F | C | G7 |\n| C | F | C | (3 beats) G7 :|', head);
    expect(tune.analysis.chorus.length).toBe(64 * BEAT);
    const part = partOf(tune, emptyArrangement('T', 1), 'guitar');
    expect(printedMeasures(part).find(({ measure }) => measure.number === 1)?.measure.band).toEqual(
      [expect.objectContaining({ at: 0 })],
    );
    const counted = played(tune, {});
    expect(counted.countIn).toBe(3 * BEAT);
    const join = chair(played(tune), 'guitar').filter(
      ({ start }) => start >= 32 * BEAT && start < 33 * BEAT,
    );
    expect(join).toEqual([]);
  });
});

describe('a blank beat', () => {
  it('lets the chord before go on over the bar line and the line end', () => {
    const tune = known('| Gm | / / F / |\n| | |');
    expect(
      tune.analysis.chorus.harmony.map(
        ({ start, harmony }) => `${symbolOf(harmony)}@${start / BEAT}`,
      ),
    ).toEqual(['Gm@0', 'F@6']);
    expect(heardIn(chair(played(tune), 'bass'), BAR, BAR + BEAT)).not.toContain(5);
  });
});

describe('notes that follow each other on one pitch', () => {
  it('end before the next begins, in the order of the file', () => {
    const bytes = midiBytes(played(known('| C | C | C | C |')));
    for (const track of parseMidi(bytes).tracks) {
      const sounding = new Set<number>();
      for (const event of track) {
        if (event.type === 'noteOn' && event.velocity > 0) {
          expect(sounding.has(event.noteNumber)).toBe(false);
          sounding.add(event.noteNumber);
        } else if (event.type === 'noteOff' || event.type === 'noteOn')
          sounding.delete(event.noteNumber);
      }
      expect(sounding.size).toBe(0);
    }
  });
});

describe('a pickup of three eighths in a shuffle', () => {
  it('starts late, on the and of three: its first and third notes swing, its second does not', () => {
    const tune = known(
      '| N.C. | C | G7 |\nmelody: | eighth G4 A4 B4 | whole C5 | whole B4 |',
      'key: C\nmeter: 4/4\ntempo: 120\nfeel: shuffle\npickup: 3/2',
    );
    const starts = chair(played(tune, {}), 'tenor').map(({ start }) => start % BAR);
    // 2:1 puts an off-beat at two thirds of its beat.
    expect(starts.slice(0, 4)).toEqual([2 * BEAT + 640, 3 * BEAT, 3 * BEAT + 640, 0]);
  });
});
