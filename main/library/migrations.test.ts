import { copyFileSync, existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { ok } from '../../shared-core/result.ts';
import { LATEST_VERSION, MIGRATIONS } from './migrations/index.ts';
import { openTestLibrary, schemaOf, testFolder, wireState } from './test-library.ts';

const FIXTURES = fileURLToPath(new URL('fixtures', import.meta.url));
const SNAPSHOT = join(FIXTURES, 'schema.sql');

let folder: ReturnType<typeof testFolder>;
beforeEach(() => {
  folder = testFolder();
});
afterEach(() => folder.remove());

it('a new library has the shape written down in fixtures/schema.sql', async () => {
  const file = join(folder.path, 'new.changewright');
  const library = await openTestLibrary(file);
  const schema = schemaOf(file);
  library.close();
  // A changed shape needs a migration, a stored library of the version before, and that file written anew
  // (fixtures/make.ts does the last two).
  expect(schema).toBe(readFileSync(SNAPSHOT, 'utf8'));
});

it('there is a stored library of every version', () => {
  const stored = readdirSync(FIXTURES).filter((name) => name.endsWith('.changewright'));
  expect(stored.sort()).toEqual(
    MIGRATIONS.map((step) => `version-${step.version}.changewright`).sort(),
  );
});

it.each(MIGRATIONS.map((step) => step.version))(
  'a stored library of version %i comes up to the latest with everything in it',
  async (version) => {
    const file = join(folder.path, 'old.changewright');
    copyFileSync(join(FIXTURES, `version-${version}.changewright`), file);
    const library = await openTestLibrary(file);
    expect(schemaOf(file)).toBe(readFileSync(SNAPSHOT, 'utf8'));
    expect(library.versions().library).toBe(LATEST_VERSION);
    expect(library.faults()).toEqual([]);
    expect(library.tunes.list(null, false).map((row) => [row.title, row.credit])).toEqual([
      ['Lantern Street', 'The band'],
    ]);
    expect(library.tunes.list({ words: ['cafe'], symbols: [null] }, true)).toHaveLength(1);
    const [row] = library.arrangements.list(null, false);
    expect([row?.name, row?.choruses, row?.revision]).toEqual(['Sunday', 3, 1]);
    const kept = library.arrangements.get(row?.id ?? '');
    expect(kept.ok && kept.value.state.lines).toEqual({});
    const undone = library.arrangements.undo<never>(row?.id ?? '', 1, (_state, past) =>
      ok({ state: wireState(past.diff.head?.before?.name, 3), taste: [] }),
    );
    expect(undone.ok && undone.value.name).toBe('Saturday');
    const [guitar] = library.bands.current()?.chairs ?? [];
    expect(guitar?.name).toBe('Guitar');
    // Version 2 keeps how a chair is strung; an older chair comes up with nothing said of it.
    expect([guitar?.strings?.capo, guitar?.voicing?.family]).toEqual(
      version < 2 ? [undefined, undefined] : [2, 'drop-2'],
    );
    expect(library.setlists.list(false)[0]?.entries[0]?.note).toBe('trumpet counts off');
    expect(library.taste.list()).toHaveLength(1);
    expect(existsSync(join(folder.path, 'backups'))).toBe(version < LATEST_VERSION);
    library.close();
  },
);
