import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { presetIntensities } from '../../../shared-core/proposals/arc.ts';
import { propose } from '../../../shared-core/proposals/propose.ts';
import { createArrangement } from '../../app/arrangements.ts';
import { startExport } from '../../app/charts.ts';
import { knownTune } from '../../app/context.ts';
import { listTunes } from '../../app/list-tunes.ts';
import { type OpenContext, openContext } from '../../app/open.ts';
import { nameChoruses, planArrangement } from '../../app/plan.ts';
import { saveSetlist, startSetlistExport } from '../../app/setlists.ts';
import { readArgs, single } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { type Written, writeExport } from '../deliver.ts';
import { badInput, type Io, need, printJson } from '../io.ts';
import { libraryNamed } from '../session.ts';

/** Choruses of every arrangement of the demonstration: head, three solos, head out. */
const CHORUSES = 5;

/** Does the whole job on the sample library. */
export const DEMO: CliCommand = {
  usage: 'demo --out DIR',
  help: 'The whole job on the sample library: understands, proposes, plans, and writes charts, MIDI, a set sheet and books.',
  async run(args, io) {
    const typed = readArgs(args, { out: 'value' });
    if (typed.words.length > 0) badInput('demo takes no words, only --out FOLDER.');
    const out = single(typed, 'out') ?? badInput('Say where to with --out FOLDER.');
    const json = typed.flags.has('json');
    const app = await openSample(libraryNamed(typed, join(out, 'demo.changewright')), io);
    try {
      const told = await wholeJob(app, out, { ...io, out: json ? () => {} : io.out });
      if (json) printJson(io, told);
    } finally {
      await app.close();
    }
    return 0;
  },
};

/** A library of its own for the demonstration: the person's stays untouched. */
async function openSample(libraryFile: string, io: Io): Promise<OpenContext> {
  const folder = join(libraryFile, '..');
  if (!existsSync(folder)) mkdirSync(folder, { recursive: true });
  const opened = await openContext({
    host: 'loopback',
    libraryFile,
    sample: true,
    log: (line) => io.err(`${line}\n`),
  });
  return need(opened);
}

async function wholeJob(app: OpenContext, out: string, io: Io) {
  const files: Written[] = [];
  const arrangements: { id: string; tune: string; proposals: number; placed: number }[] = [];
  for (const { id, title } of listTunes(app.context, '', false)) {
    const made = arrangeSample(app, id, title, io);
    const { job } = need(startExport(app.context, made.id, 'all', ['pdf', 'musicxml', 'midi'], {}));
    files.push(...(await writeExport(app, job, join(out, 'charts', title), io)));
    arrangements.push(made);
  }
  const entries = arrangements.map(({ id }) => ({ arrangementId: id, note: null, pause: 30 }));
  const set = need(saveSetlist(app.context, null, 'First set', entries));
  const { job } = need(startSetlistExport(app.context, set.id, {}));
  files.push(...(await writeExport(app, job, join(out, 'set list'), io)));
  for (const file of files) io.out(`${file.path}\n`);
  io.out(`${files.length} files from ${arrangements.length} tunes.\n`);
  return { arrangements, setlist: set.id, files };
}

function arrangeSample(app: OpenContext, tuneId: string, title: string, io: Io) {
  const known = need(knownTune(app.context, tuneId));
  const proposals = propose(known.analysis, { tempo: known.tune.tempo }).length;
  const { id } = need(createArrangement(app.context, tuneId, 'Rise and come home', CHORUSES));
  need(nameChoruses(app.context, id));
  const planned = need(
    planArrangement(app.context, id, presetIntensities('rise-and-come-home', CHORUSES)),
  );
  const plain = Math.round(planned.plainShare * 100);
  io.out(
    `${title}: ${proposals} proposals, ${planned.placed.length} accepted, ${plain} % of the held bars left plain\n`,
  );
  return { id, tune: title, proposals, placed: planned.placed.length };
}
