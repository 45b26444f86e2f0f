import { writeSync } from 'node:fs';
import { ok } from '../../shared-core/result.ts';
import { loadSqlite } from './connection.ts';
import { openTestLibrary, tuneEntry, wireState } from './test-library.ts';

/**
 * The other process of `crash.test.ts`.
 * `write FILE` makes decisions without end and says the revision of each after it was answered;
 * `lock FILE MILLISECONDS` holds the write lock that long and says when it has it.
 */
const [what = '', file = '', time = '0'] = process.argv.slice(2);

/** Written through at once: what was said must have been said before the process can be killed. */
function say(text: string): void {
  writeSync(1, `${text}\n`);
}

if (what === 'lock') {
  const db = new (loadSqlite())(file);
  db.exec('BEGIN IMMEDIATE');
  say('locked');
  setTimeout(() => {
    db.exec('ROLLBACK');
    db.close();
  }, Number(time));
} else {
  const library = await openTestLibrary(file);
  const [tune = ''] = library.tunes.add([tuneEntry()]);
  const made = library.arrangements.create(tune, wireState('0'));
  if (!made.ok) throw new Error(made.error.code);
  for (let revision = 0; ; revision++) {
    const head = (name: string) => ({ name, tempo: null, feel: null });
    const [before, after] = [head(String(revision)), head(String(revision + 1))];
    const empty = { choruses: {}, placements: {}, rejections: {}, directions: {}, lines: {} };
    library.arrangements.decide<never>(made.value, revision, () =>
      ok({
        state: wireState(after.name),
        command: { kind: 'set-head', head: after },
        diff: { head: { before, after }, ...empty },
        label: `Rename to ${after.name}`,
        taste: [{ device: 'backdoor', degree: 'full', verdict: 'accepted', by: 1 }],
      }),
    );
    say(String(revision + 1));
  }
}
