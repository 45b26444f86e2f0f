import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { pitchName } from '../../shared-core/pitch/spelled.ts';
import { barTicks, sameMeter } from '../../shared-core/time/meter.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { anyTune } from '../../tests/support/tunes.ts';
import { readMusicXml } from './musicxml/read.ts';
import { child, childrenOf, parseXml, textOf } from './musicxml/tree.ts';
import { tuneToMusicXml } from './write-musicxml.ts';

/** What a tune plays: every bar, chord and note of its chorus. */
function played(tune: Tune) {
  const chorus = unroll(tune);
  if (!chorus.ok) throw new Error(chorus.error.code);
  const { bars, harmony, melody } = chorus.value;
  return {
    bars: bars.map(
      ({ number, meter, length }) => `${number} ${meter.count}/${meter.unit} ${length}`,
    ),
    harmony: harmony.map((event) => `${event.start} ${symbolOf(event.harmony)}`),
    melody: melody.map((note) => {
      const bar = bars.findLast(({ start }) => start <= note.start);
      const crosses = note.start + note.length >= (bar ? bar.start + bar.length : 0);
      // On the page a note is tied no further than to the next note there, which may be played elsewhere.
      return `${note.start}+${crosses ? 'over' : note.length} ${pitchName(note.pitch)}`;
    }),
  };
}

function tuneOf(text: string): Tune {
  const { tune, errors } = readTune(text);
  expect(errors).toEqual([]);
  if (!tune) throw new Error('nothing was read');
  return tune;
}

function xmlOf(tune: Tune): string {
  const xml = tuneToMusicXml(tune);
  if (!xml.ok) throw new Error(xml.error.code);
  return xml.value;
}

function startsPlainly(tune: Tune): boolean {
  if (tune.pickup > 0) return tune.form === null;
  const section = tune.sections.find(({ label }) => label === (tune.form?.[0] ?? label));
  const first = section?.bars[0];
  const meter = first?.meter ?? tune.meter;
  return first !== undefined && first.length === barTicks(meter);
}

describe('a lead sheet in MusicXML', () => {
  it('read back plays the same bars, chords and notes, whatever the tune', () => {
    fc.assert(
      fc.property(anyTune, (tune) => {
        // To another reader a short first bar is a pickup, and one with no bar after it is none; a pickup
        // that a form brings in the middle is beyond MusicXML.
        const xml = xmlOf(tune);
        fc.pre(xml.split('<measure ').length > 2 && startsPlainly(tune));
        const { tune: back } = readMusicXml(xml);
        expect(played(back)).toEqual(played(tune));
        expect(back).toMatchObject({ title: tune.title, credit: tune.credit });
        // A tempo counts beats of the head's meter; a first bar of another meter has other beats.
        if (sameMeter(back.meter, tune.meter)) expect(back.tempo).toBe(tune.tempo);
        if (tune.key) expect(back.key).toEqual(tune.key);
      }),
      { numRuns: 150 },
    );
  });

  it('keeps segno, coda and jumps, a missing opening sign, and a pickup in a repeat', () => {
    for (const text of [
      '| C | Segno F | G To Coda | C D.S. al Coda | Coda F | C |',
      '| C | D :| E |1 F :|2 G |',
      '| C | F Fine | G | C D.C. al Fine |',
      'pickup: 1\n|: N.C. | C | F | (3 beats) G :|',
    ]) {
      const tune = tuneOf(text);
      expect(played(readMusicXml(xmlOf(tune)).tune), text).toEqual(played(tune));
    }
  });

  it('prints the accidental of every note that the signature or the bar does not give', () => {
    const alters: Readonly<Record<string, number>> = {
      'flat-flat': -2,
      flat: -1,
      natural: 0,
      sharp: 1,
      'double-sharp': 2,
    };
    fc.assert(
      fc.property(anyTune, (tune) => {
        const root = parseXml(xmlOf(tune));
        const fifths = Number(/<fifths>(-?\d+)/u.exec(xmlOf(tune))?.[1] ?? 0);
        // By the order of sharps and flats on the staff, written out here once more.
        const sharps = 'FCGDAEB'.slice(0, Math.max(fifths, 0));
        const flats = 'BEADGCF'.slice(0, Math.max(-fifths, 0));
        for (const measure of childrenOf(child(root, 'part'), 'measure')) {
          const seen = new Map<string, number>();
          for (const note of childrenOf(measure, 'note')) {
            const pitch = child(note, 'pitch');
            if (!pitch) continue;
            const step = textOf(pitch, 'step');
            const place = step + textOf(pitch, 'octave');
            const printed = textOf(note, 'accidental');
            const tied = childrenOf(note, 'tie').some(
              ({ attributes }) => attributes.type === 'stop',
            );
            const given = sharps.includes(step) ? 1 : flats.includes(step) ? -1 : 0;
            if (printed !== '') seen.set(place, alters[printed] ?? Number.NaN);
            else if (tied) continue;
            expect(seen.get(place) ?? given).toBe(Number(textOf(pitch, 'alter') || 0));
          }
        }
      }),
      { numRuns: 150 },
    );
  });

  it('writes the sections in the order of the form', () => {
    const tune = tuneOf('form: A B A\n[A]\n| C |\n[B]\n| F |');
    const back = readMusicXml(xmlOf(tune)).tune;
    expect(back.sections.map(({ label }) => label)).toEqual(['A', 'B', 'A']);
  });

  it('answers why a tune with signs that do not close cannot be written', () => {
    const { tune } = readTune('|: C | F |');
    const xml = tune && tuneToMusicXml(tune);
    expect(xml && !xml.ok && xml.error.code).toBe('tune/repeat');
  });
});
