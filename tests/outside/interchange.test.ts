import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import midiPackage from '@tonejs/midi';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { importFile, tuneToMusicXml } from '../../main/interchange/index.ts';
import { readMidiFile } from '../../main/interchange/midi/file.ts';
import { readHarmony } from '../../main/interchange/musicxml/harmony.ts';
import { parseXml } from '../../main/interchange/musicxml/tree.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { keyName } from '../../shared-core/pitch/key.ts';
import { meterName } from '../../shared-core/time/meter.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { musicXmlFaults } from '../support/schema.ts';
import { anyTune } from '../support/tunes.ts';

const reference = (name: string) =>
  JSON.parse(readFileSync(new URL(`../reference/${name}`, import.meta.url), 'utf8'));

const SAMPLES = join(import.meta.dirname, '../../sample-library');
const CORPUS = join(import.meta.dirname, '../../../shared/reference/corpus/nottingham-abc.json');

describe('lead sheets', () => {
  it('are valid by the schema of MusicXML 4.0 (W3C Music Notation Community Group)', async () => {
    const files = readdirSync(SAMPLES).filter((name) => name.endsWith('.tune'));
    const samples = files.map((name) => readTune(readFileSync(join(SAMPLES, name), 'utf8')).tune);
    const generated = fc.sample(anyTune, { numRuns: 40, seed: 7 });
    const documents = [...samples, ...generated].map((tune, i) => {
      const xml = tune && tuneToMusicXml(tune);
      if (!xml?.ok) throw new Error(`tune ${i} was not written`);
      return { name: `tune-${i}.musicxml`, xml: xml.value };
    });
    expect(documents.length).toBeGreaterThan(50);
    expect(await musicXmlFaults(documents)).toEqual([]);
  });
});

interface QualityRow {
  readonly id: string;
  readonly musicxml: {
    readonly kind: string;
    readonly degrees: readonly {
      readonly value: number;
      readonly alter: number;
      readonly type: string;
    }[];
  };
  readonly accepted_spellings: readonly string[];
}

describe('MusicXML kinds', () => {
  // MusicXML 4.0 reference: kind-value, degree, degree-alter; sources in tests/reference/chords.json.
  const rows = reference('chords.json').rows as readonly QualityRow[];

  it.each(rows.map((row) => [row.id, row] as const))(
    'of %s read as the chord they stand for',
    (_id, row) => {
      const degrees = row.musicxml.degrees
        .map(
          ({ value, alter, type }) =>
            `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`,
        )
        .join('');
      const element = parseXml(
        `<harmony><root><root-step>C</root-step></root><kind>${row.musicxml.kind}</kind>${degrees}</harmony>`,
      );
      const wanted = parseChord(`C${row.accepted_spellings[0]}`);
      const read = readHarmony(element, { fifths: 0, semitones: 0 });
      if (!wanted.ok) throw new Error(`C${row.accepted_spellings[0]} is not read`);
      expect(read.harmony && symbolOf(read.harmony)).toBe(symbolOf(wanted.value));
    },
  );
});

interface WorkedFile {
  readonly id: string;
  readonly bytes: string;
}

describe('MIDI files', () => {
  // Standard MIDI Files 1.0 (RP-001): the examples of the standard, bytes in tests/reference/midi.json.
  const files = reference('midi.json').worked_files as readonly WorkedFile[];
  const bytesOf = (file: WorkedFile) =>
    new Uint8Array(
      file.bytes
        .trim()
        .split(/\s+/u)
        .map((byte) => Number.parseInt(byte, 16)),
    );
  const whole = files.filter((file) => file.bytes.startsWith('4D 54 68 64'));

  it('of the standard read as the standard says', () => {
    const file = files.find(({ id }) => id === 'standard-format-0');
    if (!file) throw new Error('the example is missing');
    const { division, notes, tempos, meters } = readMidiFile(bytesOf(file));
    expect(division).toBe(96);
    expect(tempos).toEqual([{ tick: 0, microseconds: 500_000 }]);
    expect(meters).toEqual([{ tick: 0, count: 4, unit: 4 }]);
    expect(
      notes.map(({ channel, key, start, end }) => `${channel}: ${key} ${start}-${end}`),
    ).toEqual(['3: 48 0-384', '3: 60 0-384', '2: 67 96-384', '1: 76 192-384']);
  });

  it('read the same as another reader reads them', () => {
    expect(whole.length).toBeGreaterThan(1);
    for (const file of whole) {
      const bytes = bytesOf(file);
      const other = new midiPackage.Midi(bytes);
      const theirs = other.tracks
        .flatMap((track) => track.notes)
        .map((note) => `${note.midi} ${note.ticks}+${note.durationTicks}`);
      const ours = readMidiFile(bytes).notes.map(
        ({ key, start, end }) => `${key} ${start}+${end - start}`,
      );
      expect(ours.sort(), file.id).toEqual(theirs.sort());
    }
  });
});

interface AbcRow {
  readonly id: string;
  readonly title: string;
  readonly key: string;
  readonly meter: string;
  readonly bars: readonly (readonly { readonly beat: number; readonly symbol: string }[])[];
  readonly barCount: number;
  readonly analysis: { readonly noteCount: number };
  readonly abc: string;
}

/** Notes and rests of ABC text counted by another rule: letters and rests outside quotes, fields and grace notes. */
function onsets(abc: string): {
  readonly notes: number;
  readonly rests: number;
  readonly ties: number;
} {
  const music = abc
    .split('\n')
    .filter((line) => !/^([A-Za-z]:[^|:]|%)/u.test(line))
    .join('\n')
    .replace(/"[^"]*"|\{[^}]*\}/gu, ' ');
  // Notes in square brackets sound together and count once.
  const single = music.replace(/\[([_=^]*[A-Ga-g])[^\]|:]*\]/gu, '$1');
  return {
    notes: [...single.matchAll(/[A-Ga-g]/gu)].length,
    rests: [...single.matchAll(/z/gu)].length,
    ties: [...single.matchAll(/-/gu)].length,
  };
}

describe('ABC of the Nottingham Music Database (cleaned edition), read in place under its licence', () => {
  if (!existsSync(CORPUS)) {
    it.skip(`skipped: ${CORPUS} is not here`, () => undefined);
    return;
  }
  const rows = JSON.parse(readFileSync(CORPUS, 'utf8')) as readonly AbcRow[];

  it('comes out with its titles, keys, meters, bars and chords', async () => {
    const differences: string[] = [];
    for (const row of rows) {
      const result = await importFile(`${row.id}.abc`, new TextEncoder().encode(row.abc));
      if (!result.ok) throw new Error(result.error.message);
      const [tune] = result.value.tunes;
      if (!tune) throw new Error('no tune');
      expect(tune.title, row.id).toBe(row.title.trim());
      expect(tune.key && keyName(tune.key), row.id).toBe(row.key);
      expect(meterName(tune.meter), row.id).toBe(row.meter);
      const bars = tune.sections.flatMap((section) => section.bars);
      expect(bars.length, row.id).toBe(row.barCount);
      const chords = bars.map((bar) =>
        bar.harmony.map(({ harmony }) => symbolOf(harmony)).join(' '),
      );
      const wanted = row.bars.map((all) => {
        const bar = all.filter(({ symbol }) => symbol.trim() !== '');
        // Chords stacked on one beat: the first counts.
        const beats = new Map(bar.toReversed().map((chord) => [chord.beat, plain(chord.symbol)]));
        return bar
          .filter(({ beat, symbol }) => beats.get(beat) === plain(symbol) && beats.delete(beat))
          .map(({ symbol }) => plain(symbol))
          .join(' ');
      });
      if (chords.join('|') !== wanted.join('|')) differences.push(row.id);
    }
    expect(differences).toEqual([]);
  });

  it('comes out with all its notes', async () => {
    const differences: string[] = [];
    for (const row of rows) {
      const result = await importFile(`${row.id}.abc`, new TextEncoder().encode(row.abc));
      const [tune] = result.ok ? result.value.tunes : [];
      const read = tune?.sections.flatMap(({ bars }) => bars).flatMap(({ melody }) => melody) ?? [];
      const { notes, ties } = onsets(row.abc);
      if (read.length > notes || read.length < notes - ties)
        differences.push(`${row.id} ${read.length}/${notes}-${ties}`);
    }
    expect(differences).toEqual([]);
  });

  it('goes out as MusicXML and comes back with the same bars and chords', async () => {
    for (const row of rows) {
      const result = await importFile(`${row.id}.abc`, new TextEncoder().encode(row.abc));
      const [tune] = result.ok ? result.value.tunes : [];
      const xml = tune && tuneToMusicXml(tune);
      if (!tune || !xml?.ok) throw new Error(row.id);
      const again = await importFile(`${row.id}.musicxml`, new TextEncoder().encode(xml.value));
      if (!again.ok) throw new Error(again.error.message);
      const chordsOf = (t: typeof tune) =>
        t.sections
          .flatMap(({ bars }) => bars)
          .map(
            (bar) =>
              `${bar.length}: ${bar.harmony.map((e) => `${symbolOf(e.harmony)}@${e.at}`).join(' ')}`,
          );
      expect(chordsOf(again.value.tunes[0] as typeof tune), row.id).toEqual(chordsOf(tune));
    }
  });
});

/** The edition's own spellings: lower-case bass, `+` for sharp, `d` and `a` for diminished and augmented. */
function plain(symbol: string): string {
  const text = symbol
    .replace(/^([A-G][b#]?)d$/u, '$1dim')
    .replace(/^([A-G][b#]?)a$/u, '$1aug')
    .replace(/\s/gu, '')
    .replace(
      /\/([a-g])(\+?)$/u,
      (_all, letter: string, sharp: string) => `/${letter.toUpperCase()}${sharp ? '#' : ''}`,
    );
  const read = parseChord(text);
  return read.ok ? symbolOf(read.value) : text;
}
