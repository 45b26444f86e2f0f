import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type {
  ContractClient,
  MethodName,
  ReplyOf,
  RequestOf,
} from '../../shared-core/contract/methods.ts';
import { METHOD_NAMES } from '../../shared-core/contract/methods.ts';
import { parseAnswer } from '../../shared-core/contract/parse.ts';
import type { WireCommand } from '../../shared-core/contract/wire.ts';
import { usualSetup } from '../../shared-core/pitch/strings.ts';
import { loadSqlite } from '../library/connection.ts';
import { testFolder, testPorts } from '../library/test-library.ts';
import { type App, openApp } from './app.ts';
import { directClient, dispatch } from './dispatch.ts';
import { testWorks } from './test-works.ts';

const LANTERN = `title: Lantern Street
credit: The band
key: Bb major
meter: 4/4
tempo: 120
feel: medium swing

[A]
| Bbmaj7 | % | Cm7 | F7 |
| Bbmaj7 | % | Cm7 F7 | Bb6 |
`;

let folder: ReturnType<typeof testFolder>;
let app: App;
let client: ContractClient;
let log: string[];
/** Titles of the charts that were made. */
let charts: string[];

async function open(): Promise<void> {
  const opened = await openApp({
    host: 'headless',
    libraryFile: join(folder.path, 'library.changewright'),
    sample: false,
    log: (line) => log.push(line),
    works: async () => ({
      ...testWorks(),
      chartSvg: async (input) => {
        charts.push(input.tune.title);
        return testWorks().chartSvg(input);
      },
    }),
    ports: testPorts(),
  });
  if (!opened.ok) throw new Error(opened.error.message);
  app = opened.value;
  client = directClient(app.handlers, (line) => log.push(line));
}

beforeEach(async () => {
  folder = testFolder();
  log = [];
  charts = [];
  await open();
});

afterEach(async () => {
  await app.close();
  folder.remove();
});

/** Calls a method, sees that its answer is of the contract, and gives its value. */
async function call<M extends MethodName>(method: M, request: RequestOf<M>): Promise<ReplyOf<M>> {
  const answer = parseAnswer(
    method,
    JSON.parse(JSON.stringify(await client.call(method, request))),
  );
  if (!answer.ok) throw new Error(`${method}: ${answer.error.message}`);
  return answer.value;
}

/** Calls a method that must fail, and gives its error. */
async function refused<M extends MethodName>(method: M, request: RequestOf<M>) {
  const answer = parseAnswer(
    method,
    JSON.parse(JSON.stringify(await client.call(method, request))),
  );
  if (answer.ok) throw new Error(`${method} was not refused`);
  return answer.error;
}

/** Writes a symbol nobody can read into a kept tune, behind the program's back. */
function spoilTune(id: string): void {
  const db = new (loadSqlite())(join(folder.path, 'library.changewright'));
  db.prepare("UPDATE tunes SET text = replace(text, 'Cm7', 'Xyz') WHERE id = ?").run(id);
  db.close();
}

async function arrangement(choruses = 3): Promise<{ tuneId: string; id: string }> {
  const { id: tuneId } = await call('tunes.save', { text: LANTERN });
  const { id } = await call('arrangements.create', { tuneId, name: 'Saturday', choruses });
  return { tuneId, id };
}

function accept(chorus: string, id: string): WireCommand {
  return {
    kind: 'accept',
    placement: {
      id,
      chorus,
      layer: 'soloist',
      start: 0,
      length: 7680,
      changes: [
        { at: 0, length: 3840, harmony: 'Bbmaj7' },
        { at: 3840, length: 3840, harmony: 'Ebm6' },
      ],
      origin: {
        kind: 'proposal',
        proposal: 'minor-four.seventh.iv-m6@b2~b1.1x8',
        device: 'minor-four',
        degree: 'seventh',
        span: 'b1.1x8',
        verdict: 'fine over the top',
        tells: -6,
        home: -1,
        reason: 'Gb falls to F.',
      },
    },
  };
}

const REJECT: WireCommand = {
  kind: 'reject',
  rejection: {
    id: 'c2:side-step.seventh.up~b1.1x8',
    chorus: 'c2',
    proposal: 'side-step.seventh.up~b1.1x8',
    device: 'side-step',
    degree: 'seventh',
  },
};

describe('tunes', () => {
  it('are kept, listed, found and read back', async () => {
    const { id, warnings } = await call('tunes.save', { text: LANTERN });
    expect(warnings).toEqual([]);
    const { tunes } = await call('tunes.list', { search: 'lantern Cm7' });
    expect(tunes).toHaveLength(1);
    expect(tunes[0]).toMatchObject({
      id,
      title: 'Lantern Street',
      key: 'Bb major',
      keyInferred: false,
      meter: '4/4',
      tempo: 120,
      form: 'A',
      bars: 8,
    });
    expect((await call('tunes.get', { id })).text).toContain('| Bbmaj7 |');
  });

  it.each(['C-7', 'Cmin7', 'Cmi7', 'Cm7'])('are found by %s in any spelling', async (symbol) => {
    await call('tunes.save', { text: LANTERN });
    expect((await call('tunes.list', { search: symbol })).tunes).toHaveLength(1);
  });

  it('say that a key was inferred', async () => {
    const text = LANTERN.replace('key: Bb major\n', '');
    const { warnings } = await call('tunes.save', { text });
    expect(warnings).toEqual(['No key is given; it was taken to be Bb major.']);
    expect((await call('tunes.list', {})).tunes[0]).toMatchObject({ keyInferred: true });
  });

  it('are refused with every mistake in its place, and nothing is kept', async () => {
    const text = LANTERN.replace('Cm7 | F7', 'Cwrong | H7');
    const error = await refused('tunes.save', { text });
    expect(error.code).toBe('tune/chord');
    expect(error.place).toMatchObject({ line: 9 });
    expect(error.problems).toHaveLength(2);
    expect((await call('tunes.list', {})).tunes).toEqual([]);
  });

  it.each([
    ['', 'tune/empty'],
    ['title: Nothing\n', 'tune/no-bars'],
    ['\u0000\u0001\u0002', 'tune/binary'],
  ])('refuse %j', async (text, code) => {
    expect((await refused('tunes.save', { text })).code).toBe(code);
  });

  it('are imported one by one: the good ones kept, the bad ones named', async () => {
    const file = (name: string, text: string) => ({
      name,
      base64: Buffer.from(text).toString('base64'),
    });
    const { imported, failed } = await call('tunes.import', {
      files: [file('a.tune', LANTERN), file('b.tune', '| Xyz |'), file('c.tune', LANTERN)],
    });
    expect(imported.map((tune) => tune.title)).toEqual(['Lantern Street', 'Lantern Street']);
    expect(imported.map((tune) => tune.file)).toEqual(['a.tune', 'c.tune']);
    expect(failed.map((row) => [row.file, row.error.code])).toEqual([['b.tune', 'tune/chord']]);
  });

  it('warn of arrangements when the form changes its length', async () => {
    const { tuneId } = await arrangement();
    const { warnings } = await call('tunes.save', { id: tuneId, text: `${LANTERN}| Bb6 |\n` });
    expect(warnings).toEqual(['The form has another length now; look through Saturday.']);
  });

  it('go to the bin and come back', async () => {
    const { id } = await call('tunes.save', { text: LANTERN });
    await call('tunes.bin', { id });
    expect((await call('tunes.list', {})).tunes).toEqual([]);
    expect((await call('tunes.list', { binned: true })).tunes).toHaveLength(1);
    await call('tunes.restore', { id });
    expect((await call('tunes.list', {})).tunes).toHaveLength(1);
  });
});

describe('an arrangement', () => {
  it('takes decisions, undoes and redoes them, and is found whole after the program ends', async () => {
    const { id } = await arrangement();
    const first = await call('arrangements.apply', {
      id,
      revision: 0,
      command: accept('c2', 'p1'),
    });
    expect(Object.keys(first.state.placements)).toEqual(['p1']);
    await call('arrangements.apply', { id, revision: 1, command: accept('c3', 'p2') });
    await call('arrangements.apply', { id, revision: 2, command: REJECT });
    const undone = await call('arrangements.undo', { id, revision: 3 });
    expect([undone.canUndo, undone.canRedo]).toEqual([true, true]);
    await app.close();
    await open();
    const kept = await call('arrangements.get', { id });
    expect(kept.revision).toBe(4);
    expect(kept.state.placements.p1?.changes.map((change) => change.harmony)).toEqual([
      'Bbmaj7',
      'Ebm6',
    ]);
    expect(Object.keys(kept.state.rejections)).toEqual([]);
    expect(kept.history.map((entry) => entry.undone)).toEqual([false, false, true]);
    const redone = await call('arrangements.redo', { id, revision: 4 });
    expect(Object.keys(redone.state.rejections)).toHaveLength(1);
    for (const revision of [5, 6, 7]) await call('arrangements.undo', { id, revision });
    const start = await call('arrangements.get', { id });
    expect([start.state.placements, start.canUndo]).toEqual([{}, false]);
  });

  it('refuses a decision made on an old state, keeping nothing of it', async () => {
    const { id } = await arrangement();
    await call('arrangements.apply', { id, revision: 0, command: accept('c2', 'p1') });
    const error = await refused('arrangements.apply', { id, revision: 0, command: REJECT });
    expect(error.code).toBe('library/stale');
    expect((await call('arrangements.get', { id })).history).toHaveLength(1);
  });

  it('refuses changes in a chorus it has not, past its form, with a gap, or with no chord in them', async () => {
    const { id } = await arrangement();
    const base = accept('c2', 'p1');
    if (base.kind !== 'accept') throw new Error();
    const wrong = [
      accept('c9', 'p1'),
      { ...base, placement: { ...base.placement, start: 8 * 3840 } },
      { ...base, placement: { ...base.placement, length: 9000 } },
      {
        ...base,
        placement: { ...base.placement, changes: [{ at: 0, length: 7680, harmony: 'Hm7' }] },
      },
    ];
    const codes = [];
    for (const command of wrong) {
      codes.push((await refused('arrangements.apply', { id, revision: 0, command })).code);
    }
    expect(codes).toEqual([
      'arrangement/no-chorus',
      'arrangement/out-of-range',
      'arrangement/gap',
      'chord/root',
    ]);
  });

  it('teaches taste, and unlearns with undo', async () => {
    const { id } = await arrangement();
    await call('arrangements.apply', { id, revision: 0, command: accept('c2', 'p1') });
    await call('arrangements.apply', { id, revision: 1, command: REJECT });
    const rejection = REJECT.kind === 'reject' ? REJECT.rejection.id : '';
    const look = async () => {
      const { rows } = await call('taste.get', {});
      return rows.filter((row) => row.accepted + row.rejected > 0).map((row) => row.device);
    };
    expect(await look()).toEqual(['minor-four', 'side-step']);
    await call('arrangements.apply', { id, revision: 2, command: { kind: 'unreject', rejection } });
    expect(await look()).toEqual(['minor-four']);
    await call('arrangements.undo', { id, revision: 3 });
    expect(await look()).toEqual(['minor-four', 'side-step']);
    await call('taste.reset', {});
    expect(await look()).toEqual([]);
    const { rows } = await call('taste.get', {});
    expect(new Set(rows.map((row) => row.weight))).toEqual(new Set([0.5]));
  });

  it('that somebody wrote into is said to be damaged, by its name and field, and found by the check', async () => {
    const { id } = await arrangement();
    const db = new (loadSqlite())(join(folder.path, 'library.changewright'));
    db.exec(
      `UPDATE arrangements SET state = replace(state, '"intensity":0', '"intensity":"loud"')`,
    );
    db.close();
    const error = await refused('arrangements.get', { id });
    expect(error.code).toBe('library/damaged');
    expect(error.message).toContain('arrangement Saturday, choruses.c1.intensity');
    expect(
      (
        await refused('exports.start', {
          arrangementId: id,
          chairs: 'all',
          formats: ['pdf'],
          options: {},
        })
      ).code,
    ).toBe('library/damaged');
    expect((await call('library.check', {})).sound).toBe(false);
  });

  it('is copied without its history, binned and brought back', async () => {
    const { id, tuneId } = await arrangement();
    await call('arrangements.apply', { id, revision: 0, command: accept('c2', 'p1') });
    const copy = await call('arrangements.duplicate', { id, name: 'Sunday' });
    const kept = await call('arrangements.get', copy);
    expect([kept.state.head.name, Object.keys(kept.state.placements), kept.history]).toEqual([
      'Sunday',
      ['p1'],
      [],
    ]);
    await call('arrangements.bin', { id });
    const rows = (await call('arrangements.list', { tuneId })).arrangements;
    expect(rows.map((row) => row.name)).toEqual(['Sunday']);
    await call('arrangements.restore', { id });
    expect((await call('tunes.get', { id: tuneId })).arrangements).toHaveLength(2);
  });

  it('is not taken for another when its id is unknown', async () => {
    const error = await refused('arrangements.get', { id: 'nothing' });
    expect(error.code).toBe('library/not-found');
  });
});

describe('the band', () => {
  it('has chairs from the start, and keeps those it is given in score order', async () => {
    const { band } = await call('band.get', {});
    expect(band.chairs.length).toBeGreaterThan(2);
    const chairs = [...band.chairs]
      .reverse()
      .map((chair, order) => ({ ...chair, order: order * 3 }));
    const saved = await call('band.save', { band: { ...band, chairs } });
    expect(saved.band.chairs.map((chair) => chair.order)).toEqual(chairs.map((_, order) => order));
    expect((await call('band.get', {})).band).toEqual(saved.band);
  });

  it('refuses an unknown instrument, twice the same id, and no chairs', async () => {
    const { band } = await call('band.get', {});
    const [chair] = band.chairs;
    if (!chair) throw new Error();
    const codes = [];
    for (const chairs of [[{ ...chair, instrument: 'kazoo' }], [chair, chair], []]) {
      codes.push((await refused('band.save', { band: { ...band, chairs } })).code);
    }
    expect(codes).toEqual(['band/instrument', 'band/chair-id', 'band/chairs']);
  });

  it('keeps strings, capo, hand and wishes of a chair', async () => {
    const { band } = await call('band.get', {});
    const chairs = band.chairs.map((chair) =>
      chair.id === 'guitar'
        ? {
            ...chair,
            strings: { ...usualSetup('guitar'), capo: 3, leftHanded: true },
            keys: 'sharps' as const,
            voicing: { family: 'drop-3', top: 'melody' } as const,
          }
        : chair,
    );
    await call('band.save', { band: { ...band, chairs } });
    expect((await call('band.get', {})).band.chairs).toEqual(chairs);
  });

  it.each([
    ['a capo past the ninth fret', 'guitar', { ...usualSetup('guitar'), capo: 12 }, /capo .* 9/u],
    [
      'two strings',
      'guitar',
      { ...usualSetup('guitar'), tuning: usualSetup('guitar').tuning.slice(4) },
      /4 to 10 strings/u,
    ],
    ['a capo on a bass', 'bass', { ...usualSetup('bass'), capo: 1 }, /bass has no capo/u],
    ['a tuning for a saxophone', 'tenor', usualSetup('guitar'), /no tuning or capo/u],
  ])('refuses %s and says what to do', async (_what, id, strings, words) => {
    const { band } = await call('band.get', {});
    const chairs = band.chairs.map((chair) => (chair.id === id ? { ...chair, strings } : chair));
    const error = await refused('band.save', {
      band: { ...band, chairs },
    });
    expect([error.code, words.test(error.message)]).toEqual(['band/strings', true]);
  });
});

describe('exports', () => {
  async function finish(job: string) {
    const ended = await app.context.jobs.ended(job);
    if (!ended.ok) throw new Error(ended.error.message);
    return ended.value;
  }

  it('make a chart and its exchange file a chair, and sound for all, for all but each, and to practise with', async () => {
    const { id } = await arrangement();
    const { job } = await call('exports.start', {
      arrangementId: id,
      chairs: 'all',
      formats: ['pdf', 'musicxml', 'midi'],
      options: {},
    });
    const progress = await finish(job);
    expect(progress.state).toBe('done');
    expect(progress.files.map((file) => file.name)).toEqual([
      'Lantern Street - Saturday - Guitar.pdf',
      'Lantern Street - Saturday - Guitar.musicxml',
      'Lantern Street - Saturday - Tenor saxophone.pdf',
      'Lantern Street - Saturday - Tenor saxophone.musicxml',
      'Lantern Street - Saturday - Double bass.pdf',
      'Lantern Street - Saturday - Double bass.musicxml',
      'Lantern Street - Saturday - Drums.pdf',
      'Lantern Street - Saturday - Drums.musicxml',
      'Lantern Street - Saturday - whole band.mid',
      'Lantern Street - Saturday - without Guitar.mid',
      'Lantern Street - Saturday - without Tenor saxophone.mid',
      'Lantern Street - Saturday - without Double bass.mid',
      'Lantern Street - Saturday - without Drums.mid',
      'Lantern Street - Saturday - half speed.mid',
      'Lantern Street - Saturday - once through.mid',
      'Lantern Street - Saturday - chorus 1 to loop.mid',
      'Lantern Street - Saturday - chorus 2 to loop.mid',
      'Lantern Street - Saturday - chorus 3 to loop.mid',
    ]);
    const read = await call('exports.read', { handle: progress.files[0]?.handle ?? '' });
    expect(Buffer.from(read.base64, 'base64').toString()).toBe('pdf of Guitar, version 1');
    const all = await call('exports.saveAll', { job });
    const zip = await call('exports.read', { handle: all.handle ?? '' });
    expect([all.files, zip.name, zip.type]).toEqual([18, 'Charts.zip', 'application/zip']);
    const names = Object.keys(unzipSync(Buffer.from(zip.base64, 'base64')));
    expect(names).toEqual(progress.files.map((file) => file.name));
    const again = await call('exports.saveAll', { job });
    expect(again.files).toBe(18);
    expect((await refused('exports.read', { handle: all.handle ?? '' })).code).toBe(
      'export/no-file',
    );
  });

  it('can be cancelled, and keep nothing then', async () => {
    const { id } = await arrangement();
    const { job } = await call('exports.start', {
      arrangementId: id,
      chairs: 'all',
      formats: ['pdf'],
      options: {},
    });
    await call('exports.cancel', { job });
    const progress = await finish(job);
    expect([progress.state, progress.files]).toEqual(['cancelled', []]);
    expect((await refused('exports.saveAll', { job })).code).toBe('export/no-file');
  });

  it('end with an error that says so when a maker fails, and log what nobody foresaw', async () => {
    const { id } = await arrangement();
    await call('band.save', {
      band: {
        id: 'b',
        name: 'b',
        chairs: [{ id: 'x', name: 'Broken', instrument: 'guitar', role: 'comping', order: 0 }],
      },
    });
    const request = { arrangementId: id, chairs: ['x'], formats: ['pdf' as const], options: {} };
    const { job } = await call('exports.start', request);
    const progress = await finish(job);
    expect([progress.state, progress.error?.code]).toEqual(['failed', 'contract/internal']);
    expect(log.join('\n')).toContain('the chair is broken');
  });

  it('name the chairs there are when asked for another', async () => {
    const { id } = await arrangement();
    const error = await refused('exports.start', {
      arrangementId: id,
      chairs: ['oboe'],
      formats: ['pdf'],
      options: {},
    });
    expect(error.message).toContain('Guitar, Tenor saxophone, Double bass, Drums');
  });

  it('are warmed up for when an arrangement is first opened', async () => {
    const { id } = await arrangement();
    await call('arrangements.get', { id });
    await expect.poll(() => charts).toEqual(['Warm-up']);
    await call('arrangements.get', { id });
    await call('charts.preview', { arrangementId: id, chairId: 'bass', options: {} });
    expect(charts).toEqual(['Warm-up', 'Lantern Street']);
    expect(log).toEqual([]);
  });

  it('show a chart page by page', async () => {
    const { id } = await arrangement();
    const shown = await call('charts.preview', { arrangementId: id, chairId: 'bass', options: {} });
    expect(shown).toEqual({
      pages: ['<svg>Double bass</svg>'],
      title: 'Lantern Street, Double bass',
    });
  });
});

describe('set lists', () => {
  it('say times, flow and remarks, and make a sheet and a book a chair', async () => {
    const { id } = await arrangement(2);
    const other = await call('arrangements.duplicate', { id, name: 'Sunday' });
    const made = await call('setlists.save', {
      name: 'Saturday night',
      entries: [
        { arrangementId: id, note: 'trumpet counts off', pause: 20 },
        { arrangementId: other.id, note: null, pause: 0 },
      ],
    });
    const set = await call('setlists.get', made);
    // Two choruses of eight bars in 4/4 at 120: 2 x 32 x 60 / 120 = 32 seconds.
    expect(set.seconds).toBe(32 + 20 + 32);
    expect(set.entries[1]).toMatchObject({
      startsAt: 52,
      problem: null,
      facts: {
        flow: null,
        remarks: ['same key, tempo and feel as the tune before'],
      },
    });
    const { job } = await call('setlists.export', made);
    const ended = await app.context.jobs.ended(job);
    const names = ended.ok ? ended.value.files.map((file) => file.name) : [];
    expect(names).toEqual([
      'Saturday night - set sheet.pdf',
      'Saturday night - set sheet.txt',
      'Saturday night - book - Guitar.pdf',
      'Saturday night - book - Tenor saxophone.pdf',
      'Saturday night - book - Double bass.pdf',
      'Saturday night - book - Drums.pdf',
    ]);
    const text = ended.ok ? ended.value.files[1]?.handle : '';
    const sheet = await call('exports.read', { handle: text ?? '' });
    expect(Buffer.from(sheet.base64, 'base64').toString()).toBe(
      [
        'Saturday night',
        '',
        ' 1. Lantern Street  0:32',
        '    B♭ major, 120, medium swing, 4/4, 2 choruses, at 0:00',
        '    trumpet counts off',
        ' 2. Lantern Street  0:32',
        '    B♭ major, 120, medium swing, 4/4, 2 choruses, at 0:52',
        '    same key, tempo and feel as the tune before',
        '',
        'In all 1:24',
        '',
      ].join('\n'),
    );
    expect((await call('setlists.list', {})).setlists[0]).toMatchObject({
      entries: 2,
      seconds: 84,
    });
  });

  it('remark that an entry lies in the bin, and are not exported empty', async () => {
    const { id } = await arrangement();
    const entries = [{ arrangementId: id, note: null, pause: 0 }];
    const made = await call('setlists.save', { name: 'One', entries });
    await call('arrangements.bin', { id });
    expect((await call('setlists.get', made)).entries[0]?.facts?.remarks).toContain(
      'lies in the bin',
    );
    const empty = await call('setlists.save', { name: 'Two', entries: [] });
    expect((await refused('setlists.export', empty)).code).toBe('setlist/empty');
  });

  it('with a tune that cannot be read are listed, with what to do about it', async () => {
    const { id } = await arrangement(2);
    const made = await call('setlists.save', {
      name: 'Saturday night',
      entries: [
        { arrangementId: id, note: null, pause: 10 },
        { arrangementId: id, note: 'trumpet counts off', pause: 20 },
      ],
    });
    const sound = await call('setlists.get', made);
    // What an older or a mending hand may have left: a symbol that no program reads.
    const { tuneId } = sound.entries[0] ?? { tuneId: '' };
    spoilTune(tuneId);
    const [row] = (await call('setlists.list', {})).setlists;
    expect([row?.entries, row?.unreadable, row?.seconds]).toEqual([2, 2, 0]);
    const set = await call('setlists.get', made);
    const [entry] = set.entries;
    expect([entry?.title, entry?.facts]).toEqual(['Lantern Street', null]);
    expect(entry?.problem).toMatch(/Its tune cannot be read: .*Xyz.*Open its text and mend it/u);
    expect(set.entries[1]).toMatchObject({ note: 'trumpet counts off', pause: 20 });
    const error = await refused('setlists.export', made);
    expect([
      error.code,
      error.message.startsWith('Number 1, Lantern Street, cannot be printed.'),
    ]).toEqual(['setlist/entry', true]);
    // It can still be ordered and named.
    await call('setlists.save', {
      ...made,
      name: 'Sunday',
      entries: set.entries
        .map(({ arrangementId, note, pause }) => ({ arrangementId, note, pause }))
        .reverse(),
    });
    expect((await call('setlists.get', made)).entries[0]?.note).toBe('trumpet counts off');
  });
});

describe('the library', () => {
  it('is checked through and through, and backed up', async () => {
    await arrangement();
    const report = await call('library.check', {});
    expect(report.sound).toBe(true);
    expect(report.findings[0]?.message).toContain('1 tunes, 1 arrangements');
    const backup = await call('library.backup', {});
    expect(backup.bytes).toBeGreaterThan(1000);
  });

  it('empties its bin for good', async () => {
    const { tuneId } = await arrangement();
    await call('tunes.bin', { id: tuneId });
    expect(await call('library.emptyBin', {})).toEqual({ removed: 1 });
    expect((await refused('tunes.get', { id: tuneId })).code).toBe('library/not-found');
  });
});

describe('the door', () => {
  it('answers whatever is thrown at it with an error, and never throws', async () => {
    const junk: unknown[] = [undefined, null, 3, 'x', [], {}, { id: {} }, { id: '../..' }];
    for (const method of [...METHOD_NAMES, 'constructor', '__proto__', '', 'tunes']) {
      for (const request of junk) {
        const answer = await dispatch(app.handlers, () => undefined, method, request);
        expect(typeof answer.ok).toBe('boolean');
        if (!answer.ok) expect(answer.error.code).not.toBe('contract/internal');
      }
    }
  });
});
