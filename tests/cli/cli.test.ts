import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { run } from '../../main/cli/run.ts';
import { closePrinter } from '../../main/print/index.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'changewright-cli-'));
});
afterAll(async () => {
  await closePrinter();
  rmSync(folder, { recursive: true, force: true });
});

async function call(...argv: string[]) {
  let out = '';
  let err = '';
  const code = await run([...argv], { out: (text) => (out += text), err: (text) => (err += text) });
  return {
    code,
    out,
    err,
    lines: () =>
      out
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line)),
  };
}

function file(name: string, content: string | Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

const TUNE = `title: Gate Nine
key: C major
meter: 4/4
tempo: 132
feel: medium swing
[A]
| Cmaj7 | % | Fm6 | Bb7 | Cmaj7 | % | % | % |
| Dm7 | G7 | Em7 | A7 | Dm7 | G7 | Cmaj7 | % |
`;

describe('changewright analyse', () => {
  // Common practice, no source: bII7 into I stands for V7, and a diminished seventh between two degrees a
  // whole step apart can be left out of the walk.
  it('says what is thickened and what would be plainer', async () => {
    const text = [
      'key: C major',
      '| Cmaj7 | % | Dm7 | Db7 |',
      '| Cmaj7 | Am7 Ebdim7 | Dm7 | G7 |',
    ].join('\n');
    const { lines } = await call('analyse', file('thick.tune', text), '--json');
    const [{ chords, thinnings }] = lines();
    expect(thinnings).toEqual([
      {
        index: 3,
        device: 'tritone-substitute',
        bar: 4,
        beat: 1,
        changes: [{ bar: 4, beat: 1, symbol: 'G7' }],
      },
      {
        index: 6,
        device: 'passing-diminished',
        bar: 6,
        beat: 3,
        changes: [{ bar: 6, beat: 3, symbol: 'Am7' }],
      },
    ]);
    for (const { index, device } of thinnings) expect(chords[index].device).toBe(device);
    const plain = await call('analyse', file('plain.tune', '| Dm7 | G7 | Cmaj7 | % |'), '--json');
    expect(plain.lines()[0].thinnings).toEqual([]);
  });

  it('answers the shape of the headless contract, notes from the root up', async () => {
    const { code, lines } = await call('analyse', file('a.tune', TUNE), '--json');
    const [answer] = lines();
    expect(code).toBe(0);
    expect(answer.tune).toMatchObject({
      title: 'Gate Nine',
      key: 'C major',
      meter: '4/4',
      bars: 16,
    });
    expect(answer.chords[2]).toMatchObject({
      bar: 3,
      beat: 1,
      symbol: 'Fm6',
      root: 'F',
      quality: 'm6',
      notes: ['F', 'Ab', 'C', 'D'],
      localKey: 'C major',
    });
    // The goal is held over bars 5 to 8: heard at 4, its last entry is 7.
    expect(answer.chords[3]).toMatchObject({
      symbol: 'Bb7',
      roman: 'bVII7',
      arrives: 4,
      prepares: 7,
      device: 'backdoor',
    });
    const held = answer.spans.find((span: { id: string }) => span.id === 'b5.1x16');
    expect(held).toMatchObject({
      startBar: 5,
      startBeat: 1,
      beats: 16,
      symbol: 'Cmaj7',
      next: 'Dm7',
    });
    expect(answer.cadences.length).toBeGreaterThan(0);
  });

  it('names the bass first in a slash chord', async () => {
    const { lines } = await call('analyse', file('s.tune', '| C7/Bb | F |'), '--json');
    expect(lines()[0].chords[0].notes).toEqual(['Bb', 'C', 'E', 'G']);
  });

  it('takes many files, one object a line, and goes on past one it cannot read', async () => {
    const good = file('g.tune', TUNE);
    const bad = file('b.tune', 'title: Nothing here\n');
    const { code, err, lines } = await call('analyse', good, bad, good, '--json');
    const [first, second, third] = lines();
    expect(code).toBe(2);
    expect(err.trim().split('\n')).toEqual([expect.stringContaining('b.tune')]);
    expect(first.tune.title).toBe('Gate Nine');
    expect(second.file).toBe(bad);
    expect(second.error.code).toMatch(/^(tune|import)\//);
    expect(third).toEqual(first);
  });
});

describe('changewright propose', () => {
  it('gives each proposal its whole span, its figures, its verdict and its reason', async () => {
    const { code, lines } = await call(
      'propose',
      file('p.tune', TUNE),
      '--json',
      '--chorus',
      '2',
      '--span',
      'b5.1x16',
    );
    const [{ spans, proposals }] = lines();
    expect(code).toBe(0);
    expect(spans).toHaveLength(1);
    expect(proposals.length).toBeGreaterThan(10);
    for (const proposal of proposals) {
      expect(proposal.span).toBe('b5.1x16');
      expect(['soloist', 'band', 'either']).toContain(proposal.carrier);
      const beats = proposal.changes.reduce(
        (sum: number, change: { beats: number }) => sum + change.beats,
        0,
      );
      expect(beats).toBe(16);
      expect(proposal.changes[0]).toMatchObject({ bar: 5, beat: 1 });
      for (const figure of ['tension', 'melodyFit', 'voiceLeading', 'score', 'freshness']) {
        expect(typeof proposal[figure]).toBe('number');
      }
      expect(proposal.reason.length).toBeGreaterThan(10);
    }
  });

  it('keeps to a device that is asked for, and names them all when it is none', async () => {
    const { lines } = await call(
      'propose',
      file('d.tune', TUNE),
      '--json',
      '--device',
      'side-step',
    );
    const devices = new Set(
      lines()[0].proposals.map((proposal: { device: string }) => proposal.device),
    );
    expect([...devices]).toEqual(['side-step']);
    const wrong = await call('propose', file('d.tune', TUNE), '--device', 'sidestep');
    expect(wrong).toMatchObject({ code: 2, out: '' });
    expect(wrong.err).toContain('side-step');
  });
});

describe('a tune from file to stand', () => {
  it('is imported, found, arranged, exported, put in a set and checked', async () => {
    const library = join(folder, 'library.changewright');
    const inLibrary = (...argv: string[]) => call(...argv, '--library', library, '--json');
    const [{ imported }] = (await inLibrary('import', file('t.tune', TUNE))).lines();
    const { id } = imported[0];
    const [{ tunes }] = (await inLibrary('tunes', '--search', 'gate')).lines();
    expect(tunes).toEqual([
      { id, title: 'Gate Nine', key: 'C major', meter: '4/4', bars: 16, arrangements: 0 },
    ]);
    const [{ proposals }] = (
      await inLibrary('propose', id, '--chorus', '2', '--device', 'minor-four')
    ).lines();
    const wanted = `${proposals[0].id}@2`;
    const made = (
      await inLibrary(
        'arrange',
        id,
        '--name',
        'Late set',
        '--choruses',
        '3',
        '--accept',
        wanted,
        '--plan',
        '0,3,0',
      )
    ).lines()[0];
    expect(made.placements).toContainEqual(
      expect.objectContaining({ chorus: 2, proposal: proposals[0].id }),
    );

    const out = join(folder, 'out');
    const [{ files }] = (
      await inLibrary('export', made.id, '--chair', 'bass', '--out', out)
    ).lines();
    const endings = files.map(({ name }: { name: string }) => name.split('.').pop());
    // Sound: whole band, without the bass, half speed, once through, and three choruses to loop.
    expect(endings.sort()).toEqual([...new Array<string>(7).fill('mid'), 'musicxml', 'pdf']);
    for (const { path } of files) {
      const bytes = readFileSync(path);
      if (path.endsWith('.pdf')) expect(bytes.subarray(0, 5).toString()).toBe('%PDF-');
      if (path.endsWith('.mid')) expect(parseMidi(bytes).header.format).toBe(1);
      if (path.endsWith('.musicxml'))
        expect(bytes.toString()).toContain('<score-partwise version="4.0"');
    }

    const [set] = (await inLibrary('setlist', 'make', made.id, '--name', 'Friday')).lines();
    const [{ files: books }] = (await inLibrary('setlist', 'export', set.id, '--out', out)).lines();
    expect(books.some(({ name }: { name: string }) => name.endsWith('set sheet.pdf'))).toBe(true);
    const [report] = (await inLibrary('check')).lines();
    expect(report.sound).toBe(true);
  }, 60_000);
});

describe('input that is no good', () => {
  const library = (): string => join(folder, 'bad.changewright');

  it.each<[string, string | Uint8Array]>([
    ['an empty file', ''],
    ['ten megabytes', 'x'.repeat(10 * 1024 * 1024)],
    ['a binary', Uint8Array.from({ length: 4096 }, (_, index) => (index * 97) % 256)],
    ['unclosed bars', 'title: T\n[A]\n| C | F'],
    ['unknown symbols', 'title: T\n[A]\n| C | Qmaj7 |\n'],
    ['an impossible meter', 'title: T\nmeter: 4/5\n[A]\n| C |\n'],
    ['a tune without bars', 'title: T\n'],
  ])('%s is one clear sentence and exit code 2, and nothing is kept', async (_, content) => {
    const path = file('bad.tune', content);
    const { code, err } = await call('import', path, '--library', library());
    expect(code).toBe(2);
    expect(err.trim().split('\n')).toHaveLength(1);
    expect(err).toMatch(/bad\.tune/);
    const { lines } = await call('tunes', '--json', '--library', library());
    expect(lines()[0].tunes).toEqual([]);
  });

  it.each([[['--json']], [[]]])(
    'is told by the exit code among files that are good %j',
    async (flags) => {
      const mixed = [
        file('good.tune', TUNE),
        file('none.tune', 'title: T\n'),
        file('two.tune', TUNE),
      ];
      const into = join(folder, `mixed${flags.length}.changewright`);
      const { code, err } = await call('import', ...mixed, ...flags, '--library', into);
      expect(code).toBe(2);
      expect(err.trim().split('\n')).toEqual([expect.stringContaining('none.tune')]);
      const { lines } = await call('tunes', '--json', '--library', into);
      expect(lines()[0].tunes).toHaveLength(2);
      const all = await call('import', mixed[0] ?? '', mixed[2] ?? '', ...flags, '--library', into);
      expect(all).toMatchObject({ code: 0, err: '' });
    },
  );

  it.each([
    [['nonsense'], 'There is no command nonsense'],
    [['import'], 'Name the files'],
    [['analyse', '/no/such/file.tune'], 'There is no file'],
    [['arrange', 'x', '--name', 'N'], '--choruses'],
    [['arrange', 'x', '--name', 'N', '--choruses', '0'], 'from 1 to 99'],
    [['arrange', 'x', '--name', 'N', '--choruses', '2', '--plan', '1'], 'give one for each'],
    [['export', 'x'], '--out'],
    [['tunes', '--colour'], '--search'],
    [['setlist'], 'setlist export'],
  ])('%j is answered with what to do', async (argv, words) => {
    const answer = await call(...argv, '--library', library());
    expect(answer).toMatchObject({ code: 2, out: '' });
    expect(answer.err).toContain(words);
  });

  it('a library without a name is refused rather than kept nowhere', async () => {
    const { code, out, err } = await call('tunes', '--library', '', '--json');
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('--library is empty');
  });

  it('a file that is no library of ours is refused by name', async () => {
    const { code, err } = await call(
      'tunes',
      '--library',
      file('foreign.db', 'not a library at all'.repeat(100)),
    );
    expect(code).toBe(1);
    expect(err).toContain('foreign.db');
  });
});
