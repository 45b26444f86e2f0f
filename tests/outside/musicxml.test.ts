import fc from 'fast-check';
import { SaxesParser } from 'saxes';
import { describe, expect, it } from 'vitest';
import { importFile } from '../../main/interchange/index.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { exchangePart } from '../../shared-core/notation/exchange-part.ts';
import { partToMusicXml } from '../../shared-core/notation/musicxml.ts';
import type { Part } from '../../shared-core/parts/model.ts';
import { printedMeasures } from '../../shared-core/parts/printed.ts';
import { concertLine } from '../../shared-core/parts/unroll.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { anyArrangement, anyTune, BAND, partOf } from '../support/parts.ts';
import { musicXmlFaults } from '../support/schema.ts';

const anyParts = anyTune.chain((known) =>
  anyArrangement(known).map((state) => BAND.chairs.map(({ id }) => partOf(known, state, id))),
);

/** A bar as another program would read it. */
interface ReadBar {
  duration: number;
  readonly chords: string[];
}

/** Reads bars back with a plain XML parser: sounding time, and each chord's root, kind text and bass. */
function readBars(xml: string): ReadBar[] {
  const bars: ReadBar[] = [];
  const parser = new SaxesParser();
  const path: string[] = [];
  let chord: Record<string, string> | null = null;
  let inChord = false;
  parser.on('opentag', ({ name, attributes }) => {
    path.push(name);
    if (name === 'measure') bars.push({ duration: 0, chords: [] });
    if (name === 'note') inChord = false;
    if (name === 'chord') inChord = true;
    if (name === 'harmony') chord = {};
    if (name === 'kind' && chord) chord.text = String(attributes.text ?? '');
  });
  parser.on('text', (text) => {
    const name = path.at(-1) ?? '';
    if (chord) chord[name] = text;
    const bar = bars.at(-1);
    if (name === 'duration' && bar && !inChord) bar.duration += Number(text);
  });
  parser.on('closetag', ({ name }) => {
    path.pop();
    if (name !== 'harmony' || !chord) return;
    bars.at(-1)?.chords.push(chordText(chord));
    chord = null;
  });
  parser.write(xml).close();
  return bars;
}

function chordText(chord: Readonly<Record<string, string>>): string {
  if (chord.kind === 'none') return 'N.C.';
  const note = (name: string): string => {
    const alter = Number(chord[`${name}-alter`] ?? 0);
    return (chord[`${name}-step`] ?? '') + (alter < 0 ? 'b'.repeat(-alter) : '#'.repeat(alter));
  };
  return note('root') + (chord.text ?? '') + (chord['bass-step'] ? `/${note('bass')}` : '');
}

function writtenBars(part: Part): ReadBar[] {
  return printedMeasures(exchangePart(part)).map(({ measure }) => ({
    duration: measure.length,
    chords: [...measure.band, ...(measure.solo ?? [])]
      .sort((a, b) => a.at - b.at)
      .map(({ harmony }) => symbolOf(harmony).replace(/^\((.*)\)$/u, '$1')),
  }));
}

describe('MusicXML of any part', () => {
  it('validates against the W3C schema in both modes', async () => {
    const parts = fc.sample(anyParts, { numRuns: 12, seed: 7 }).flat();
    const documents = parts.flatMap((part, index) =>
      (['exchange', 'engraving'] as const).map((mode) => ({
        name: `${index}-${mode}.musicxml`,
        xml: partToMusicXml(part, { mode }),
      })),
    );
    expect(await musicXmlFaults(documents)).toEqual([]);
  });

  it('validates with voicings on two staves and written bass lines', async () => {
    const anyOptions = anyTune.chain((known) =>
      anyArrangement(known).map((state) => [
        partOf(known, state, 'piano', { voicings: true }),
        partOf(known, state, 'bass', { walkingLine: true }),
      ]),
    );
    const documents = fc
      .sample(anyOptions, { numRuns: 12, seed: 3 })
      .flat()
      .map((part, index) => ({
        name: `${index}.musicxml`,
        xml: partToMusicXml(part, { mode: 'exchange' }),
      }));
    expect(documents.some(({ xml }) => xml.includes('<staff>2</staff>'))).toBe(true);
    expect(await musicXmlFaults(documents)).toEqual([]);
  });

  it('finds a fault that is planted', async () => {
    const [part] = fc.sample(anyParts, { numRuns: 1, seed: 7 })[0] ?? [];
    if (!part) throw new Error('No part');
    const xml = partToMusicXml(part, { mode: 'exchange' }).replace(
      '<duration>',
      '<voice>1</voice><duration>',
    );
    expect(await musicXmlFaults([{ name: 'bad.musicxml', xml }])).not.toEqual([]);
  });

  it('plays on in another program as the chart does here, strips and all', () => {
    fc.assert(
      fc.property(anyParts, (parts) => {
        for (const part of parts) {
          const heard = (each: Part): string[] =>
            concertLine(each, 'solo').map(({ start, harmony }) => `${start} ${symbolOf(harmony)}`);
          expect(heard(exchangePart(part))).toEqual(heard(part));
          expect(exchangePart(part).blocks.every((block) => block.strips.length === 0)).toBe(true);
        }
      }),
      { numRuns: 20 },
    );
  });

  it('is read back by another reader to the same bars and chords', () => {
    fc.assert(
      fc.property(anyParts, (parts) => {
        for (const part of parts)
          expect(readBars(partToMusicXml(part, { mode: 'exchange' }))).toEqual(writtenBars(part));
      }),
      { numRuns: 20 },
    );
  });
});

describe('guitar shapes', () => {
  it('are frames the W3C schema knows, and do not keep us from reading the chords again', async () => {
    await fc.assert(
      fc.asyncProperty(
        anyTune.chain((known) => anyArrangement(known).map((state) => ({ known, state }))),
        async ({ known, state }) => {
          const part = partOf(known, state, 'guitar', { voicings: true });
          const xml = partToMusicXml(part, { mode: 'exchange' });
          const frames = xml.split('<frame ').length - 1;
          const shown = printedMeasures(exchangePart(part)).flatMap(
            ({ measure }) => measure.voicings,
          );
          expect(frames).toBe(shown.filter(({ voicing }) => voicing.frets).length);
          expect(await musicXmlFaults([{ name: 'guitar.musicxml', xml }])).toEqual([]);
          const read = await importFile('guitar.musicxml', new TextEncoder().encode(xml));
          const plain = partToMusicXml(partOf(known, state, 'guitar'), { mode: 'exchange' });
          const without = await importFile('guitar.musicxml', new TextEncoder().encode(plain));
          const chords = (file: typeof read): readonly string[] => {
            if (!file.ok) throw new Error(JSON.stringify(file.error));
            const chorus = file.value.tunes[0] && unroll(file.value.tunes[0]);
            if (!chorus?.ok) throw new Error('not a form');
            return chorus.value.harmony
              .map(({ harmony }) => symbolOf(harmony))
              .filter((symbol, at, all) => symbol !== all[at - 1]);
          };
          expect(chords(read)).toEqual(chords(without));
        },
      ),
      { numRuns: 12 },
    );
  });
});
