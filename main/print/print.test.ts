import { afterAll, describe, expect, it } from 'vitest';
import { formatHarmony } from '../../shared-core/chord/format.ts';
import type { ChordStyle } from '../../shared-core/chord/model.ts';
import type { Part } from '../../shared-core/parts/model.ts';
import { printedMeasures } from '../../shared-core/parts/printed.ts';
import {
  arrangementOf,
  BAND,
  type KnownTune,
  partOf,
  type TestPlacement,
  tuneOf,
} from '../../tests/support/parts.ts';
import { hasPoppler, inkMargins, readPdf, readWithPoppler } from '../../tests/support/pdf.ts';
import { engraverRemarks } from './engraver.ts';
import {
  bookToPdf,
  closePrinter,
  PrintError,
  partToPdf,
  partToSvg,
  setSheetToPdf,
} from './index.ts';
import { layOut } from './layout.ts';

afterAll(() => closePrinter());

const TUNE = tuneOf(
  [
    'title: Lantern Street',
    'credit: Test writer',
    'key: Eb major',
    'meter: 4/4',
    'tempo: 148',
    'feel: medium swing',
    'form: A A B A',
    '',
    '[A]',
    '| Ebmaj7 | % | Fm7 | Bb7 |',
    '| Ebmaj7 | Gm7b5 C7b9 | Fm7 Bb7b9#11 | F#dim7/A E7alt |',
    '[B]',
    '| Abm6 Db9 | C#m7b5/G | Cbmaj7 | N.C. |',
  ].join('\n'),
);

const PLACED: readonly TestPlacement[] = [
  {
    chorus: 2,
    layer: 'soloist',
    bar: 1,
    changes: [
      [4, 'Ebmaj7'],
      [2, 'Abm6'],
      [2, 'Ebmaj7'],
    ],
    tells: -8,
    home: -2,
  },
  {
    chorus: 3,
    layer: 'soloist',
    bar: 5,
    changes: [
      [2, 'Emaj7'],
      [2, 'Ebmaj7'],
    ],
    verdict: 'tell the rhythm section',
  },
  {
    chorus: 3,
    layer: 'band',
    bar: 2,
    changes: [
      [2, 'Bbm7'],
      [2, 'Eb7'],
    ],
  },
];

function partFor(chair: string, known: KnownTune = TUNE): Part {
  const state = arrangementOf(
    known,
    ['Head', 'Solo', 'Solo', 'Head out'],
    known === TUNE ? PLACED : [],
  );
  return partOf(known, state, chair, { version: 'version 3', date: '2026-03-01' });
}

/** Every chord symbol a part shows, with how often at least. */
function symbolsOf(part: Part, style: ChordStyle): Map<string, number> {
  const counts = new Map<string, number>();
  const over = part.blocks.flatMap(({ strips }) =>
    strips.flatMap(({ place, measures }) => (place === 'over' ? measures : [])),
  );
  const shown = [
    ...over.map((measure) => ({ ...measure, cues: [] })),
    ...printedMeasures(part).map(({ measure }) => measure),
  ];
  for (const measure of shown) {
    const cued = measure.cues.flatMap((cue) => cue.harmonies);
    for (const { harmony } of [...measure.band, ...(measure.solo ?? []), ...cued]) {
      const text = formatHarmony(harmony, { style, accidentals: 'glyph' }).replaceAll(/[()]/gu, '');
      counts.set(text, (counts.get(text) ?? 0) + 1);
    }
  }
  return counts;
}

describe('a printed chart read back', () => {
  it.each(
    BAND.chairs.flatMap(
      ({ id }) =>
        [
          [id, 'words'],
          [id, 'signs'],
        ] as [string, ChordStyle][],
    ),
  )(
    'has every chord symbol of the %s part in %s, flats and sharps included',
    async (chair, style) => {
      const part = partFor(chair);
      const { pages } = await readPdf(await partToPdf(part, { style }));
      const found = new Map<string, number>();
      for (const symbol of pages.flatMap((page) => page.symbols))
        found.set(symbol, (found.get(symbol) ?? 0) + 1);
      const wanted = symbolsOf(part, style);
      for (const [symbol, count] of wanted)
        expect({ symbol, enough: (found.get(symbol) ?? 0) >= count }).toEqual({
          symbol,
          enough: true,
        });
      for (const symbol of found.keys()) expect([...wanted.keys()]).toContain(symbol);
    },
  );

  it('engraves a tune of one bar and of one line without a remark of the engraver', async () => {
    for (const bars of ['| C |', '| C | F | G | C |', '| C | F | G | C | C | F | G | C |']) {
      const known = tuneOf(`title: Short\nkey: C major\nmeter: 4/4\n\n${bars}\n`);
      const { pages } = await layOut(partOf(known, arrangementOf(known, [null]), 'guitar'), {});
      expect(pages).toHaveLength(1);
    }
    expect(engraverRemarks()).toEqual([]);
  });

  it('shows all signs of the four look-alike seventh chords, and tells flat from sharp', async () => {
    const known = tuneOf(
      'title: Signs\nkey: C major\nmeter: 4/4\n\n| BbΔ7 | F#ø7 | C°7 | G7#9 |\n',
    );
    const { pages } = await readPdf(await partToPdf(partFor('guitar', known), { style: 'signs' }));
    expect(pages[0]?.symbols).toEqual(['B♭△7', 'F♯ø7', 'C°7', 'G7♯9']);
  });

  it('sets root, quality, then slash and bass', async () => {
    const known = tuneOf('title: Slash\nkey: C major\nmeter: 4/4\n\n| D#sus2/F | Bbm7b5/Ab |\n');
    const { pages } = await readPdf(await partToPdf(partFor('guitar', known)));
    expect(pages[0]?.symbols).toEqual(['D♯sus2/F', 'B♭m7♭5/A♭']);
    const texts = pages[0]?.texts ?? [];
    const at = (text: string): number => texts.find((item) => item.text.includes(text))?.y ?? 0;
    // The alteration is raised beside the quality, the bass hangs below the line.
    expect(at('5')).toBeGreaterThan(at('/A'));
  });

  it.skipIf(!hasPoppler())('is copied whole by another reader', async () => {
    const bytes = await partToPdf(partFor('guitar'));
    const { text, fonts } = readWithPoppler(bytes);
    for (const symbol of symbolsOf(partFor('guitar'), 'words').keys())
      expect(text).toContain(symbol);
    for (const font of fonts) expect(font).toMatch(/yes yes yes/u);
    expect(fonts.length).toBeGreaterThan(2);
  });

  it('carries title, author, bookmarks, chair, version, date and page numbers', async () => {
    const read = await readPdf(await partToPdf(partFor('tenor')));
    expect(read.title).toBe('Lantern Street, Tenor saxophone');
    expect(read.author).toBe('Test writer');
    expect(read.bookmarks[0]?.title).toBe('Lantern Street, Tenor saxophone');
    expect(read.bookmarks[0]?.items.length).toBeGreaterThan(0);
    const first = read.pages[0]?.copied ?? '';
    for (const words of [
      'Tenor saxophone',
      'in B',
      'version 3',
      '2026-03-01',
      'Medium swing',
      '148',
      'AABA',
      '1 Head · 2–3 Solo · 4 Head out',
      `page 1 of ${read.pages.length}`,
    ])
      expect(first).toContain(words);
    const later = read.pages.slice(1).map((page) => page.copied);
    for (const page of later) {
      expect(page).toContain('Lantern Street');
      expect(page).toContain('Tenor saxophone');
    }
  });

  it.each([
    ['a4', 595.28, 841.89],
    ['letter', 612, 792],
  ] as const)(
    'is on %s paper, chord symbols at 14 points or more, nothing under 8',
    async (paper, width, height) => {
      for (const large of [false, true]) {
        const { pages } = await readPdf(await partToPdf(partFor('tenor'), { paper, large }));
        for (const page of pages) {
          expect(page.width).toBeCloseTo(width, 1);
          expect(page.height).toBeCloseTo(height, 1);
          for (const { text, size } of page.texts) {
            // The music font's accidentals are drawn to the size of the letters beside them.
            if (!/^[♭♮♯𝄫𝄪♩]+$/u.test(text))
              expect({ text, ok: size >= 8.4 }).toEqual({ text, ok: true });
          }
          for (const { text, size } of page.texts)
            if (/maj7|m7|dim7/u.test(text)) expect(size).toBeGreaterThanOrEqual(large ? 18 : 14);
        }
      }
    },
  );

  it.skipIf(!hasPoppler())(
    'keeps all ink ten millimetres from the edge, on both papers and in large print',
    async () => {
      for (const paper of ['a4', 'letter'] as const)
        for (const large of [false, true])
          for (const margins of inkMargins(await partToPdf(partFor('tenor'), { paper, large })))
            for (const edge of Object.values(margins)) expect(edge).toBeGreaterThanOrEqual(10);
    },
  );

  it('puts a plain tune of 32 bars on one page', async () => {
    const { pages } = await readPdf(await partToPdf(partFor('drums')));
    expect(pages).toHaveLength(1);
  });

  it('is the same bytes every time', async () => {
    const [first, second] = [await partToPdf(partFor('bass')), await partToPdf(partFor('bass'))];
    expect(Buffer.from(first).equals(Buffer.from(second))).toBe(true);
  });
});

describe('words no font was cut for', () => {
  it('prints accents, Greek and Cyrillic, and a hollow square for what it cannot draw', async () => {
    const known = tuneOf('title: Žižkov Ωμέγα Бах 東京\nkey: C major\nmeter: 4/4\n\n| C | F |\n');
    const { pages } = await readPdf(await partToPdf(partFor('guitar', known)));
    expect(pages[0]?.copied).toContain('Žižkov Ωμέγα Бах □□');
  });

  it('fits a very long title and credit', async () => {
    const long = 'A Very Long Title That Somebody Typed Without Thinking Of The Paper '.repeat(4);
    const known = tuneOf(
      `title: ${long}\ncredit: ${long}\nkey: C major\nmeter: 4/4\n\n| C | F |\n`,
    );
    const { pages } = await readPdf(await partToPdf(partFor('guitar', known)));
    for (const { x, width } of pages[0]?.texts ?? []) {
      expect(x).toBeGreaterThan(28);
      expect(x + width).toBeLessThan(567);
    }
  });
});

describe('previews, books and sheets', () => {
  it('gives the same pages as SVG that need nothing from outside', async () => {
    const part = partFor('tenor');
    const pages = await partToSvg(part);
    const read = await readPdf(await partToPdf(part));
    expect(pages).toHaveLength(read.pages.length);
    for (const page of pages) {
      expect(page).toMatch(/^<svg xmlns="http:\/\/www.w3.org\/2000\/svg"/u);
      expect(page.replace('http://www.w3.org/2000/svg', '')).not.toMatch(
        /https?:|@import|<text|font-face/u,
      );
      expect(page).not.toContain('NaN');
    }
    expect(pages[0]).toContain('aria-label="E♭');
    expect(pages.join('')).toContain('aria-label="Fmaj7"');
  });

  it('binds a book with a bookmark a chart behind its set sheet, and says how far it is', async () => {
    const steps: string[] = [];
    const bytes = await bookToPdf([partFor('guitar'), partFor('guitar')], {
      title: 'Friday, Guitar',
      sheet: {
        title: 'Friday',
        lines: [
          {
            number: '1',
            title: 'Lantern Street',
            facts: 'E♭ major · 148',
            clock: '4:10',
            note: 'segue',
          },
        ],
        total: '8 min 20 s',
      },
      onProgress: (done, total, title) => steps.push(`${done}/${total} ${title}`),
    });
    const read = await readPdf(bytes);
    expect(read.title).toBe('Friday, Guitar');
    expect(read.bookmarks.map(({ title }) => title)).toEqual([
      'Friday',
      'Lantern Street',
      'Lantern Street',
    ]);
    expect(read.pages[0]?.copied).toContain('E♭ major');
    expect(steps).toEqual(['1/3 Friday', '2/3 Lantern Street', '3/3 Lantern Street']);
  });

  it('stops between two charts when told to', async () => {
    const controller = new AbortController();
    const book = bookToPdf(
      Array.from({ length: 50 }, () => partFor('guitar')),
      {
        title: 'Long',
        signal: controller.signal,
        onProgress: (done) => {
          if (done === 2) controller.abort(new Error('enough'));
        },
      },
    );
    await expect(book).rejects.toThrow('enough');
    await expect(
      partToPdf(partFor('guitar'), { signal: AbortSignal.abort(new Error('no')) }),
    ).rejects.toThrow('no');
    expect((await partToPdf(partFor('guitar'))).length).toBeGreaterThan(1000);
  });

  it('breaks a long set sheet over pages', async () => {
    const lines = Array.from({ length: 40 }, (_, index) => ({
      number: String(index + 1),
      title: `Tune ${index + 1}`,
      facts: 'C major',
      clock: '3:00',
      note: null,
    }));
    const read = await readPdf(await setSheetToPdf({ title: 'All night', lines, total: '2 h' }));
    expect(read.pages.length).toBeGreaterThan(1);
    expect(read.pages.at(-1)?.copied).toContain('Tune 40');
  });

  it('names what went wrong', async () => {
    const broken = { ...partFor('guitar'), meter: undefined } as unknown as Part;
    await expect(partToPdf({ ...broken, blocks: [{}] } as unknown as Part)).rejects.toBeInstanceOf(
      PrintError,
    );
  });
});
