import { copyFileSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ok } from '../../shared-core/result.ts';
import type { Decision } from './arrangements.ts';
import { backupsOf, integrityOf } from './backup.ts';
import { APPLICATION_ID, loadSqlite } from './connection.ts';
import type { Library } from './library.ts';
import { openLibrary } from './library.ts';
import { lockForHost } from './lock.ts';
import { migrate } from './migrate.ts';
import { MIGRATIONS, withoutGaps } from './migrations/index.ts';
import { openTestLibrary, testFolder, testPorts, tuneEntry, wireState } from './test-library.ts';

let folder: ReturnType<typeof testFolder>;
let file: string;
let library: Library;

beforeEach(async () => {
  folder = testFolder();
  file = join(folder.path, 'library.changewright');
  library = await openTestLibrary(file);
});

afterEach(() => {
  library.close();
  folder.remove();
});

/** A decision that renames the arrangement, which needs no music. */
function rename(name: string): Decision {
  const before = { name: 'Saturday', tempo: null, feel: null };
  return {
    state: wireState(name),
    command: { kind: 'set-head', head: { ...before, name } },
    diff: {
      head: { before, after: { ...before, name } },
      choruses: {},
      placements: {},
      rejections: {},
      directions: {},
      lines: {},
    },
    label: `Rename to ${name}`,
    taste: [],
  };
}

describe('a library file', () => {
  it('is marked as ours, safe against power cuts, and holds its own references', () => {
    const db = new (loadSqlite())(file);
    const look = (name: string) => db.pragma(name, { simple: true });
    expect([look('application_id'), look('user_version'), look('journal_mode')]).toEqual([
      APPLICATION_ID,
      MIGRATIONS.length,
      'wal',
    ]);
    db.close();
    expect(library.faults()).toEqual([]);
  });

  it('is refused by name when a newer program made it, and left as it was', async () => {
    library.close();
    const db = new (loadSqlite())(file);
    db.pragma('user_version = 99');
    db.close();
    const before = readFileSync(file);
    const opened = await openLibrary(file, testPorts());
    expect(opened).toEqual({
      ok: false,
      error: {
        code: 'library/newer',
        data: { file, version: 99, known: MIGRATIONS.length },
      },
    });
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  it.each([
    ['a text', () => Buffer.from('title: Lantern Street\n| C | F |\n')],
    ['ten megabytes of noise', () => Buffer.alloc(10_000_000, 7)],
    ['a few bytes', () => Buffer.from([1, 2, 3])],
  ])('is not made out of %s', async (_what, bytes) => {
    const other = join(folder.path, 'other.file');
    writeFileSync(other, bytes());
    const opened = await openLibrary(other, testPorts());
    expect(opened.ok ? null : opened.error.code).toBe('library/foreign');
    expect(readFileSync(other).equals(bytes())).toBe(true);
  });

  it('is not made out of the database of another program', async () => {
    const other = join(folder.path, 'other.db');
    const db = new (loadSqlite())(other);
    db.exec('CREATE TABLE contacts (name TEXT)');
    db.close();
    const opened = await openLibrary(other, testPorts());
    expect(opened.ok ? null : opened.error.code).toBe('library/foreign');
  });

  it('is made in a folder that does not exist yet, or out of an empty file', async () => {
    const deep = join(folder.path, 'a', 'b', 'library.changewright');
    const empty = join(folder.path, 'empty.changewright');
    writeFileSync(empty, '');
    for (const path of [deep, empty]) (await openTestLibrary(path)).close();
    expect([integrityOf(deep), integrityOf(empty)]).toEqual(['ok', 'ok']);
  });

  it('is found damaged when its pages are overwritten', async () => {
    for (let n = 0; n < 200; n++) library.tunes.add([tuneEntry({ title: `Tune ${n}` })]);
    library.close();
    const bytes = readFileSync(file);
    bytes.fill(0x5a, 4096 * 3, 4096 * 12);
    writeFileSync(file, bytes);
    const opened = await openLibrary(file, testPorts());
    expect(opened.ok ? null : opened.error.code).toBe('library/damaged');
  });

  it('opens for one window at a time, and again after it', () => {
    const first = lockForHost(file);
    const second = lockForHost(file);
    expect([first.ok, second.ok ? null : second.error.code]).toEqual([true, 'library/in-use']);
    if (first.ok) first.value.release();
    const third = lockForHost(file);
    expect(third.ok).toBe(true);
    if (third.ok) third.value.release();
  });
});

describe('a Node that is too old', () => {
  it.each(['20.20.2', '22.13.1', '18.0.0'])(
    '%s is told so before the binding is loaded',
    (version) => {
      expect(() => loadSqlite(version)).toThrow(/Node 22.14 or newer/u);
    },
  );
});

describe('migrations', () => {
  it('are numbered from 1 without gaps', () => {
    const step = { name: 'x', sql: '' };
    expect(() =>
      withoutGaps([
        { ...step, version: 1 },
        { ...step, version: 3 },
      ]),
    ).toThrow('numbered 3');
    expect(() => withoutGaps([{ ...step, version: 2 }])).toThrow('numbered 2');
    expect(withoutGaps(MIGRATIONS)).toBe(MIGRATIONS);
  });

  it('back up a library that has something in it, keep children, and stop whole at a step that fails', async () => {
    const [tune] = library.tunes.add([tuneEntry()]);
    library.arrangements.create(tune ?? '', wireState());
    library.close();
    const db = new (loadSqlite())(file);
    const backup = join(folder.path, 'backups', 'before.changewright');
    const rebuild = `CREATE TABLE tunes_new AS SELECT * FROM tunes; DROP TABLE tunes;
      ALTER TABLE tunes_new RENAME TO tunes;`;
    const steps = [
      ...MIGRATIONS,
      {
        version: MIGRATIONS.length + 1,
        name: 'half',
        sql: `${rebuild} SELECT * FROM no_such_table;`,
      },
    ];
    const migrated = await migrate(db, () => backup, steps);
    expect(migrated.ok ? null : migrated.error.code).toBe('library/migration');
    expect(db.pragma('user_version', { simple: true })).toBe(MIGRATIONS.length);
    expect(db.prepare('SELECT count(*) FROM arrangements').pluck().get()).toBe(1);
    expect(integrityOf(backup)).toBe('ok');
    db.close();
  });
});

describe('tunes', () => {
  it('are listed by title as a person sorts', () => {
    for (const title of ['Émeraude', 'zebra', 'Elm', 'Blues 10', 'Blues 9']) {
      library.tunes.add([tuneEntry({ title })]);
    }
    const titles = library.tunes.list(null, false).map((row) => row.title);
    expect(titles).toEqual(['Blues 9', 'Blues 10', 'Elm', 'Émeraude', 'zebra']);
  });

  it.each([
    ['cafe', 'Café à noite'],
    ['CAFÉ', 'Café à noite'],
    ['noi', 'Café à noite'],
    ['noite a', 'Café à noite'],
    ['lodz', 'Łódź'],
    ['strasse', 'Lange Straße'],
  ])('are found by %j in %j', (words, title) => {
    library.tunes.add([tuneEntry({ title }), tuneEntry({ title: 'Something else' })]);
    const asked = words.split(' ');
    const found = library.tunes.list({ words: asked, symbols: asked.map(() => null) }, false);
    expect(found.map((row) => row.title)).toEqual([title]);
  });

  it('are found by chord symbol, whole and not in part', () => {
    library.tunes.add([
      tuneEntry({ title: 'One', symbols: ['F#m7b5/E', 'B7'] }),
      tuneEntry({ title: 'Two', symbols: ['F#m7', 'Bbmaj7'] }),
    ]);
    const find = (symbol: string) =>
      library.tunes.list({ words: ['?'], symbols: [symbol] }, false).map((row) => row.title);
    expect([find('F#m7b5/E'), find('F#m7'), find('Bbmaj7'), find('B')]).toEqual([
      ['One'],
      ['Two'],
      ['Two'],
      [],
    ]);
  });

  it.each(['"', '*', 'NEAR(', 'a" OR "b', "'; DROP TABLE tunes; --", '-', 'title:', '^'])(
    'survive a search for %j',
    (text) => {
      library.tunes.add([tuneEntry()]);
      library.tunes.list({ words: [text], symbols: [text] }, false);
      expect(library.tunes.list(null, false)).toHaveLength(1);
    },
  );

  it('keep the text they had before, and their id, when replaced', () => {
    const [id = ''] = library.tunes.add([tuneEntry()]);
    library.tunes.replace(id, tuneEntry({ text: 'second', title: 'Second' }));
    expect(library.tunes.versions(id).map((version) => version.text)).toEqual([
      tuneEntry().text,
      'second',
    ]);
    const row = library.tunes.row(id);
    expect(row?.title).toBe('Second');
    expect((row?.changedAt ?? '') > (row?.createdAt ?? '')).toBe(true);
    expect(library.tunes.list({ words: ['lantern'], symbols: [null] }, false)).toEqual([]);
  });

  it('go to the bin, come back, and go for good only when the bin is emptied', () => {
    const [a = '', b = ''] = library.tunes.add([tuneEntry(), tuneEntry({ title: 'Other' })]);
    library.tunes.setBinned(a, true);
    library.tunes.setBinned(b, true);
    library.tunes.setBinned(b, false);
    expect(library.tunes.list(null, false).map((row) => row.id)).toEqual([b]);
    expect(library.tunes.list(null, true).map((row) => row.id)).toEqual([a]);
    expect(library.emptyBin()).toBe(1);
    expect([library.tunes.text(a).ok, library.tunes.text(b).ok]).toEqual([false, true]);
  });

  it('stay in the bin while a set list still plays them', () => {
    const [tune = ''] = library.tunes.add([tuneEntry()]);
    const made = library.arrangements.create(tune, wireState());
    const arrangementId = made.ok ? made.value : '';
    library.setlists.save(null, 'Saturday', [{ arrangementId, note: null, pause: 0 }]);
    library.tunes.setBinned(tune, true);
    library.arrangements.setBinned(arrangementId, true);
    expect(library.emptyBin()).toBe(0);
    expect(library.tunes.text(tune).ok).toBe(true);
    expect(library.faults()).toEqual([]);
  });
});

describe('decisions', () => {
  let id: string;

  beforeEach(() => {
    const [tune = ''] = library.tunes.add([tuneEntry()]);
    const made = library.arrangements.create(tune, wireState());
    id = made.ok ? made.value : '';
  });

  it('are kept with their effect, undone, redone, and read back after opening again', async () => {
    library.arrangements.decide(id, 0, () => ok(rename('Sunday')));
    library.arrangements.decide(id, 1, () => ok(rename('Monday')));
    const undone = library.arrangements.undo(id, 2, (_state, past) => {
      expect(past.diff).toEqual(rename('Monday').diff);
      return ok({ state: wireState('Sunday'), taste: [] });
    });
    expect(undone.ok && undone.value.revision).toBe(3);
    library.close();
    library = await openTestLibrary(file);
    const kept = library.arrangements.get(id);
    expect(kept.ok && [kept.value.name, kept.value.revision]).toEqual(['Sunday', 3]);
    expect(library.arrangements.history(id).map((entry) => [entry.label, entry.undone])).toEqual([
      ['Rename to Sunday', false],
      ['Rename to Monday', true],
    ]);
    const redone = library.arrangements.redo(id, 3, () =>
      ok({ state: wireState('Monday'), taste: [] }),
    );
    expect(redone.ok && redone.value.name).toBe('Monday');
  });

  it('clear what was undone when a new one is made', () => {
    library.arrangements.decide(id, 0, () => ok(rename('Sunday')));
    library.arrangements.undo(id, 1, () => ok({ state: wireState(), taste: [] }));
    library.arrangements.decide(id, 2, () => ok(rename('Friday')));
    const redo = library.arrangements.redo<never>(id, 3, () =>
      ok({ state: wireState(), taste: [] }),
    );
    expect(redo.ok ? null : redo.error.code).toBe('library/nothing-to-redo');
    expect(library.arrangements.history(id).map((entry) => entry.label)).toEqual([
      'Rename to Friday',
    ]);
  });

  it('are refused when made on a state that is no longer the present one', () => {
    library.arrangements.decide(id, 0, () => ok(rename('Sunday')));
    const late = library.arrangements.decide(id, 0, () => ok(rename('Monday')));
    expect(late.ok ? null : late.error).toEqual({
      code: 'library/stale',
      data: { id, asked: 0, present: 1 },
    });
    expect(library.arrangements.history(id)).toHaveLength(1);
  });

  it('leave nothing behind when making them throws', () => {
    const fail = () => {
      throw new Error('in the middle');
    };
    expect(() => library.arrangements.decide(id, 0, fail)).toThrow('in the middle');
    const kept = library.arrangements.get(id);
    expect(kept.ok && kept.value.revision).toBe(0);
  });

  it('count for taste while they stand, and never below nought', () => {
    const mark = { device: 'minor-four', degree: 'seventh', verdict: 'accepted', by: 1 } as const;
    library.arrangements.decide(id, 0, () => ok({ ...rename('x'), taste: [mark] }));
    expect(library.taste.list()).toEqual([
      { device: 'minor-four', degree: 'seventh', accepted: 1, rejected: 0 },
    ]);
    library.taste.reset();
    library.arrangements.undo(id, 1, () => ok({ state: wireState(), taste: [mark] }));
    expect(library.taste.list()).toEqual([]);
  });

  it('that something else wrote over are damage, told as such', () => {
    library.arrangements.decide(id, 0, () => ok(rename('Sunday')));
    const db = new (loadSqlite())(file);
    db.exec("UPDATE decisions SET diff = 'half a {'");
    const undo = library.arrangements.undo<never>(id, 1, () =>
      ok({ state: wireState(), taste: [] }),
    );
    expect(undo.ok ? null : undo.error.code).toBe('library/damaged');
    db.exec("UPDATE arrangements SET state = ''");
    db.close();
    const kept = library.arrangements.get(id);
    expect(kept.ok ? null : kept.error.code).toBe('library/damaged');
  });

  it('are refused loudly when their shape is of another version', () => {
    library.arrangements.decide(id, 0, () => ok(rename('Sunday')));
    const db = new (loadSqlite())(file);
    db.exec('UPDATE decisions SET version = 7');
    db.close();
    const undo = library.arrangements.undo<never>(id, 1, () =>
      ok({ state: wireState(), taste: [] }),
    );
    expect(undo.ok ? null : undo.error.code).toBe('library/history-version');
  });
});

describe('a band', () => {
  it('keeps its chairs in score order and forgets the one taken away', () => {
    const chair = (id: string, order: number) =>
      ({ id, name: id, instrument: 'guitar', role: 'comping', order }) as const;
    const band = { id: 'b1', name: 'Quintet', chairs: [chair('one', 0), chair('two', 1)] };
    library.bands.save(band);
    expect(library.bands.current()).toEqual(band);
    const smaller = { ...band, chairs: [chair('two', 0)] };
    library.bands.save(smaller);
    expect(library.bands.current()).toEqual(smaller);
  });
});

describe('backups', () => {
  it('are whole libraries of one file, named by moment and reason', async () => {
    library.tunes.add([tuneEntry()]);
    const made = await library.backUp('hand');
    expect(made.ok && made.value.name).toMatch(/^library-20250301T1930\d\dZ-hand\.changewright$/u);
    const names = readdirSync(join(folder.path, 'backups'));
    expect(names).toHaveLength(1);
    const copy = join(folder.path, 'copy.changewright');
    copyFileSync(join(folder.path, 'backups', names[0] ?? ''), copy);
    const opened = await openTestLibrary(copy);
    expect(opened.tunes.list(null, false)).toHaveLength(1);
    opened.close();
  });

  it('are made once a day, and a fortnight of them kept', async () => {
    library.close();
    for (let day = 0; day < 17; day++) {
      library = await openTestLibrary(file, testPorts(Date.UTC(2025, 2, 1 + day, 12)));
      await library.backUpDaily();
      await library.backUpDaily();
      library.close();
    }
    library = await openTestLibrary(file);
    const names = backupsOf(file, 'daily');
    expect(names).toHaveLength(14);
    expect(names[0]).toContain('20250304');
    expect(names.every((name) => statSync(join(folder.path, 'backups', name)).size > 0)).toBe(true);
  });

  it('say so when there is no room to write them', async () => {
    writeFileSync(join(folder.path, 'backups'), 'a file where the folder should be');
    const made = await library.backUp('hand');
    expect(made.ok ? null : made.error.code).toBe('library/backup');
  });
});
