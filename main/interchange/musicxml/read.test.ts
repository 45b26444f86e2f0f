import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { symbolOf } from '../../../shared-core/chord/format.ts';
import { keyName } from '../../../shared-core/pitch/key.ts';
import { pitchName } from '../../../shared-core/pitch/spelled.ts';
import type { Tune, WrittenBar } from '../../../shared-core/tune/model.ts';
import { unroll } from '../../../shared-core/tune/unroll.ts';
import { type ImportError, importFile } from '../index.ts';

const DOCTYPE =
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">';

const ATTRIBUTES =
  '<attributes><divisions>2</divisions><key><fifths>0</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>';

const WHOLE = '<note><rest/><duration>8</duration></note>';

function score(measures: readonly string[], head = ''): string {
  const body = measures.map((inner, i) => `<measure number="${i + 1}">${inner}</measure>`).join('');
  return `<?xml version="1.0"?>${DOCTYPE}<score-partwise version="4.0">${head}<part-list><score-part id="P1"><part-name>Lead</part-name></score-part></part-list><part id="P1">${body}</part></score-partwise>`;
}

function chord(root: string, kind: string, rest = '', attributes = ''): string {
  const [step = '', ...marks] = root;
  const alter = marks.reduce((sum, mark) => sum + (mark === '#' ? 1 : -1), 0);
  return `<harmony ${attributes}><root><root-step>${step}</root-step><root-alter>${alter}</root-alter></root><kind>${kind}</kind>${rest}</harmony>`;
}

function degree(value: number, alter: number, type: string): string {
  return `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`;
}

async function read(xml: string | Uint8Array, name = 'tune.musicxml') {
  const bytes = typeof xml === 'string' ? new TextEncoder().encode(xml) : xml;
  const result = await importFile(name, bytes);
  if (!result.ok) throw new Error(result.error.message);
  const tune = result.value.tunes[0] as Tune;
  return { tune, bars: tune.sections.flatMap(({ bars }) => bars), warnings: result.value.warnings };
}

async function refused(bytes: Uint8Array | string, name = 'tune.musicxml'): Promise<ImportError> {
  const result = await importFile(
    name,
    typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes,
  );
  if (result.ok) throw new Error('it was read');
  return result.error;
}

function chordsOf(bars: readonly WrittenBar[]): string[] {
  return bars.map((bar) =>
    bar.harmony.map(({ at, harmony }) => `${symbolOf(harmony)}@${at / 960 + 1}`).join(' '),
  );
}

async function one(harmony: string): Promise<string> {
  const { bars } = await read(score([`${ATTRIBUTES}${harmony}${WHOLE}`]));
  return chordsOf(bars)[0]?.replace('@1', '') ?? '';
}

/** Bars in playing order, numbered down the page. */
function order(tune: Tune): string {
  const chorus = unroll(tune);
  return chorus.ok ? chorus.value.bars.map(({ writtenBar }) => writtenBar + 1).join(' ') : '';
}

const barline = (location: string, inner: string) =>
  `<barline location="${location}">${inner}</barline>`;
const forward = barline('left', '<repeat direction="forward"/>');
const backward = barline('right', '<repeat direction="backward"/>');
const words = (text: string, sound = '') =>
  `<direction><direction-type><words>${text}</words></direction-type>${sound}</direction>`;

describe('chords of a MusicXML score', () => {
  it('stand where their offset puts them', async () => {
    const bar = `${ATTRIBUTES}${chord('C', 'major')}${chord('G', 'major', '<offset>4</offset>')}${WHOLE}`;
    expect(chordsOf((await read(score([bar]))).bars)).toEqual(['C@1 G@3']);
  });

  it('stand where they are written between notes, in any voice', async () => {
    const half = '<note><rest/><duration>4</duration></note>';
    const bar = `${ATTRIBUTES}${chord('C', 'major')}${half}${chord('F', 'major')}${half}<backup><duration>2</duration></backup>${chord('G', 'dominant')}`;
    expect(chordsOf((await read(score([bar]))).bars)).toEqual(['C@1 F@3 G7@4']);
  });

  it('are made of kind and degrees', async () => {
    expect(await one(chord('C', 'suspended-fourth', degree(7, 0, 'add')))).toBe('C7sus4');
    expect(await one(chord('F#', 'half-diminished'))).toBe('F#m7b5');
    expect(await one(chord('Bb', 'dominant', degree(9, -1, 'add') + degree(11, 1, 'add')))).toBe(
      'Bb7b9#11',
    );
    expect(await one(chord('C', 'major', degree(9, 0, 'add')))).toBe('Cadd9');
    expect(await one(chord('C', 'major-sixth', degree(9, 0, 'add')))).toBe('C6/9');
    expect(await one(chord('C', 'dominant', degree(5, -1, 'alter')))).toBe('C7b5');
    expect(await one(chord('C', 'dominant', degree(3, 0, 'subtract')))).toBe('C7no3');
  });

  it('may name a bass, be silent, or be written in words alone', async () => {
    const bass = '<bass><bass-step>B</bass-step><bass-alter>-1</bass-alter></bass>';
    expect(await one(chord('G', 'minor-seventh', bass))).toBe('Gm7/Bb');
    expect(await one(chord('C', 'none'))).toBe('N.C.');
    expect(
      await one(
        '<harmony><root><root-step>C</root-step></root><kind text="7alt">dominant</kind></harmony>',
      ),
    ).toBe('C7alt');
    expect(
      await one(
        '<harmony><root><root-step>C</root-step></root><kind text="m7">other</kind></harmony>',
      ),
    ).toBe('Cm7');
    expect(await one(chord('E', 'minor', '', 'type="alternate"'))).toBe('(Em)');
  });

  it('that are not known are left out with a word about the bar', async () => {
    const { warnings, bars } = await read(
      score([`${ATTRIBUTES}${WHOLE}`, `${chord('C', 'Tristan')}${WHOLE}`]),
    );
    expect(chordsOf(bars)).toEqual(['', '']);
    expect(warnings[0]).toContain('Bar 2: the chord C of kind "Tristan"');
  });

  it('and notes of a transposing part come out at concert pitch, in the spelling of the interval', async () => {
    const attributes = ATTRIBUTES.replace('<fifths>0', '<fifths>2').replace(
      '</attributes>',
      '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>',
    );
    const note =
      '<note><pitch><step>F</step><alter>1</alter><octave>5</octave></pitch><duration>8</duration></note>';
    const { tune, bars } = await read(
      score([`${attributes}${chord('D', 'major-seventh')}${note}`]),
    );
    expect(chordsOf(bars)).toEqual(['Cmaj7@1']);
    expect(bars[0]?.melody.map(({ pitch }) => pitchName(pitch))).toEqual(['E5']);
    expect(tune.key && keyName(tune.key)).toBe('C major');
  });

  it('and notes of an alto part in sharps come out in the flats of concert pitch', async () => {
    const attributes = ATTRIBUTES.replace('<fifths>0', '<fifths>0').replace(
      '</attributes>',
      '<transpose><diatonic>-5</diatonic><chromatic>-9</chromatic></transpose></attributes>',
    );
    const { bars, tune } = await read(score([`${attributes}${chord('C', 'major')}${WHOLE}`]));
    expect(chordsOf(bars)).toEqual(['Eb@1']);
    expect(tune.key && keyName(tune.key)).toBe('Eb major');
  });
});

describe('figures that no score has', () => {
  it.each([
    ['<fifths>0</fifths>', '<fifths>99999</fifths>', 'A key signature of 99999 fifths'],
    ['<fifths>0</fifths>', '<fifths>-13</fifths>', 'A key signature of -13 fifths'],
    ['<beats>4</beats>', '<beats>four</beats>', 'The meter four/4'],
    ['<beats>4</beats>', '<beats>77</beats>', 'The meter 77/4'],
  ])('are passed over and named: %s as %s', async (good, bad, words) => {
    const measure = ATTRIBUTES.replace(good, bad) + chord('C', 'major') + WHOLE;
    const { warnings, bars } = await read(score([measure]));
    expect(warnings).toContain(`${words} is not one that can be used.`);
    expect(chordsOf(bars)).toHaveLength(1);
  });
});

describe('the form of a MusicXML score', () => {
  it('follows repeats, endings and counts', async () => {
    const ending = (number: string, type: string) => `<ending number="${number}" type="${type}"/>`;
    const { tune } = await read(
      score([
        `${forward}${ATTRIBUTES}${WHOLE}`,
        `${barline('left', ending('1', 'start'))}${WHOLE}${barline('right', `${ending('1', 'stop')}<repeat direction="backward"/>`)}`,
        `${barline('left', ending('2', 'start'))}${WHOLE}${barline('right', ending('2', 'discontinue'))}`,
        `${WHOLE}${barline('right', '<repeat direction="backward" times="3"/>')}`,
      ]),
    );
    expect(order(tune)).toBe('1 2 1 3 4 4 4');
  });

  it('follows signs in words, and signs in sounds without words', async () => {
    const bars = (jump: string) => [
      `${ATTRIBUTES}${WHOLE}`,
      `<direction><direction-type><segno/></direction-type></direction>${WHOLE}`,
      `${WHOLE}${words('To Coda')}`,
      `${WHOLE}${jump}`,
      `<direction><direction-type><coda/></direction-type></direction>${WHOLE}`,
      WHOLE,
    ];
    for (const text of ['D.S. al Coda', 'D.S. al coda', 'DS AL CODA', 'Dal Segno al Coda']) {
      expect(order((await read(score(bars(words(text))))).tune), text).toBe('1 2 3 4 2 3 5 6');
    }
    expect(order((await read(score(bars('<sound dalsegno="segno"/>')))).tune)).toBe(
      '1 2 3 4 2 3 5 6',
    );
  });

  it('takes the first of two coda signs as the place to leave', async () => {
    const coda = '<direction><direction-type><coda/></direction-type></direction>';
    const { tune } = await read(
      score([
        `${ATTRIBUTES}${WHOLE}${coda}`,
        `${WHOLE}${words('D.C. al Coda')}`,
        `${coda}${WHOLE}`,
      ]),
    );
    expect(order(tune)).toBe('1 2 1 3');
  });

  it('gives a pickup and a shortened last bar their own lengths', async () => {
    const quarter = '<note><rest/><duration>2</duration></note>';
    const three = '<note><rest/><duration>6</duration></note>';
    const { tune } = await read(
      score([`${forward}${ATTRIBUTES}${quarter}`, WHOLE, `${three}${backward}`]),
    );
    expect(tune.pickup).toBe(960);
    const chorus = unroll(tune);
    expect(chorus.ok && chorus.value.length / 960).toBe(16);
    expect(chorus.ok && chorus.value.bars.map(({ number }) => number)).toEqual([0, 1, 2, 2, 3, 4]);
  });

  it('leaves out a sign that cannot be played, and says so', async () => {
    const { tune, warnings } = await read(score([`${forward}${ATTRIBUTES}${WHOLE}`, WHOLE]));
    expect(order(tune)).toBe('1 2');
    expect(warnings[0]).toContain('never closed');
  });

  it('names sections by rehearsal marks', async () => {
    const mark = (label: string) =>
      `<direction><direction-type><rehearsal>${label}</rehearsal></direction-type></direction>`;
    const { tune } = await read(
      score([`${ATTRIBUTES}${mark('A')}${WHOLE}`, WHOLE, `${mark('B')}${WHOLE}`]),
    );
    expect(tune.sections.map(({ label, bars }) => `${label}${bars.length}`)).toEqual(['A2', 'B1']);
  });

  it('repeats the chords that a simile sign repeats', async () => {
    const simile = (type: string) =>
      `<attributes><measure-style><measure-repeat type="${type}">1</measure-repeat></measure-style></attributes>`;
    const { bars } = await read(
      score([
        `${ATTRIBUTES}${chord('C', 'major')}${WHOLE}`,
        `${simile('start')}${WHOLE}`,
        `${simile('stop')}${WHOLE}`,
      ]),
    );
    expect(chordsOf(bars)).toEqual(['C@1', 'C@1', '']);
  });
});

describe('the melody of a MusicXML score', () => {
  const note = (step: string, duration: number, rest = '') =>
    `<note>${rest.includes('chord') ? '<chord/>' : ''}<pitch><step>${step}</step><octave>4</octave></pitch><duration>${duration}</duration>${rest.replace('chord', '')}</note>`;

  it('joins tied notes, takes the top of a chord, and leaves slashes and grace notes out', async () => {
    const { bars, warnings } = await read(
      score([
        `${ATTRIBUTES}<note><grace/><pitch><step>D</step><octave>4</octave></pitch></note>${note('C', 4)}${note('E', 4, 'chord')}${note('G', 4, '<tie type="start"/>')}`,
        `${note('G', 4, '<tie type="stop"/>')}${note('B', 4, '<notehead>slash</notehead>')}`,
      ]),
    );
    expect(
      bars.map(({ melody }) => melody.map((n) => `${pitchName(n.pitch)} ${n.at}+${n.length}`)),
    ).toEqual([['E4 0+1920', 'G4 1920+3840'], []]);
    expect(warnings.join(' ')).toContain('One grace note');
  });

  it('keeps triplets exact', async () => {
    const attributes = ATTRIBUTES.replace('<divisions>2', '<divisions>3');
    const { bars } = await read(
      score([`${attributes}${note('C', 1)}${note('D', 1)}${note('E', 1)}${note('F', 9)}`]),
    );
    expect(bars[0]?.melody.map(({ at }) => at)).toEqual([0, 320, 640, 960]);
  });
});

describe('containers and hostile files', () => {
  const inner = (encode: (text: string) => Uint8Array, path = 'score.xml') =>
    zipSync({
      'META-INF/container.xml': strToU8(
        `<container><rootfiles><rootfile full-path="${path}"/></rootfiles></container>`,
      ),
      'score.xml': encode(
        score(
          [`${ATTRIBUTES}${chord('C', 'major')}${WHOLE}`, `${chord('F', 'major')}${WHOLE}`],
          '<work><work-title>Café à noite – déjà vu</work-title></work>',
        ).replace('<?xml version="1.0"?>', '<?xml version="1.0" encoding="UTF-16"?>'),
      ),
    });
  const utf16 = (text: string) => new Uint8Array(Buffer.from(`\uFEFF${text}`, 'utf16le'));

  it('are read whatever their name says: UTF-16 inside an archive', async () => {
    for (const name of ['tune.mxl', 'tune.musicxml']) {
      const { tune, bars } = await read(inner(utf16), name);
      expect(tune.title).toBe('Café à noite – déjà vu');
      expect(chordsOf(bars)).toEqual(['C@1', 'F@1']);
    }
    const plain = score([`${ATTRIBUTES}${chord('C', 'major')}${WHOLE}`]);
    expect(chordsOf((await read(plain, 'tune.mxl')).bars)).toEqual(['C@1']);
  });

  it('with entities of their own are refused, by name, at once', async () => {
    const entities = Array.from(
      { length: 9 },
      (_, i) => `<!ENTITY e${i + 1} "${`&e${i};`.repeat(10)}">`,
    ).join('');
    const bomb = `<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY e0 "x">${entities}]><score-partwise><movement-title>&e9;</movement-title></score-partwise>`;
    const start = process.memoryUsage().heapUsed;
    const error = await refused(bomb, 'bomb.musicxml');
    expect(error.code).toBe('import/xml-entity');
    expect(error.message).toContain('bomb.musicxml');
    expect(process.memoryUsage().heapUsed - start).toBeLessThan(50_000_000);
    const external =
      '<!DOCTYPE score-partwise [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise/>';
    expect((await refused(external)).code).toBe('import/xml-entity');
    const undeclared = score([ATTRIBUTES + WHOLE], '<movement-title>&x;</movement-title>');
    expect((await refused(undeclared)).code).toBe('import/xml-entity');
  });

  it('that unpack without end are refused', async () => {
    const bomb = zipSync({
      'META-INF/container.xml': strToU8(
        '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>',
      ),
      'score.xml': new Uint8Array(22_000_000),
    });
    expect((await refused(bomb, 'bomb.mxl')).code).toBe('import/limit');
  });

  it('that point outside themselves, hold no score, or are cut off are refused', async () => {
    for (const path of ['../score.xml', '/score.xml', 'C:\\score.xml', 'missing.xml', '']) {
      expect((await refused(inner(utf16, path), 'x.mxl')).code, path).toBe('import/zip');
    }
    expect((await refused(zipSync({ 'a.txt': strToU8('x') }), 'x.mxl')).code).toBe('import/zip');
    expect((await refused(inner(utf16).subarray(0, 300), 'x.mxl')).code).toBe('import/zip');
  });

  it('too deep, broken, or of another kind of XML are refused with their line', async () => {
    expect((await refused(`<score-partwise>${'<a>'.repeat(100)}`)).code).toBe('import/limit');
    const broken = await refused('<score-partwise>\n<part>\n</score-partwise>');
    expect(broken).toMatchObject({ code: 'import/xml', line: 3 });
    expect((await refused('<svg/>')).code).toBe('import/xml-kind');
    expect((await refused('<score-partwise/>')).code).toBe('import/no-bars');
  });

  it('may be timewise', async () => {
    const timewise = `<score-timewise><part-list/><measure number="1"><part id="P1">${ATTRIBUTES}${chord('C', 'major')}${WHOLE}</part></measure><measure number="2"><part id="P1">${chord('G', 'dominant')}${WHOLE}</part></measure></score-timewise>`;
    expect(chordsOf((await read(timewise)).bars)).toEqual(['C@1', 'G7@1']);
  });

  it('that need the worker can be stopped', async () => {
    const controller = new AbortController();
    const reading = importFile('x.mxl', inner(utf16), controller.signal);
    controller.abort();
    const result = await reading;
    expect(!result.ok && result.error.code).toBe('import/aborted');
  });
});
