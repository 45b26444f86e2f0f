import { listSetlists, saveSetlist, startSetlistExport } from '../../app/setlists.ts';
import { readArgs, single, type Typed } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { writeExport } from '../deliver.ts';
import { badInput, type ExitCode, type Io, need, printJson } from '../io.ts';
import { withApp } from '../session.ts';
import { chartOptionsOf } from './export.ts';

/** Set lists: making them, listing them, and writing their sheet and books. */
export const SETLIST: CliCommand = {
  usage: 'setlist export ID --out DIR | setlist list | setlist make --name NAME ARRANGEMENT...',
  help: 'Writes a set sheet and one book a chair; lists set lists; makes one of arrangements in order.',
  async run(args, io) {
    const typed = readArgs(args, {
      out: 'value',
      name: 'value',
      paper: 'value',
      style: 'value',
      large: 'flag',
    });
    const [what, ...rest] = typed.words;
    if (what === 'export') return exportSet(typed, rest, io);
    if (what === 'list') return list(typed, io);
    if (what === 'make') return make(typed, rest, io);
    return badInput(
      'Say setlist export ID --out DIR, setlist list, or setlist make --name NAME ARRANGEMENT...',
    );
  },
};

function exportSet(typed: Typed, [id, ...more]: readonly string[], io: Io): Promise<ExitCode> {
  if (!id || more.length > 0)
    badInput('Name one set list by its id; see: changewright setlist list');
  const out = single(typed, 'out') ?? badInput('Say where to with --out FOLDER.');
  return withApp<ExitCode>(typed, io, async (app) => {
    const { job } = need(startSetlistExport(app.context, id, chartOptionsOf(typed)));
    const files = await writeExport(app, job, out, io);
    if (typed.flags.has('json')) printJson(io, { files });
    else for (const file of files) io.out(`${file.path}\n`);
    return 0;
  });
}

function list(typed: Typed, io: Io): Promise<ExitCode> {
  return withApp<ExitCode>(typed, io, async ({ context }) => {
    const rows = listSetlists(context, false);
    if (typed.flags.has('json')) {
      printJson(io, {
        setlists: rows.map(({ id, name, entries, seconds }) => ({ id, name, entries, seconds })),
      });
    } else for (const { id, name, entries } of rows) io.out(`${id}  ${name}, ${entries} tunes\n`);
    return 0;
  });
}

function make(typed: Typed, arrangements: readonly string[], io: Io): Promise<ExitCode> {
  const name = single(typed, 'name') ?? badInput('Give the set list a name with --name.');
  if (arrangements.length === 0) badInput('Name the arrangements in playing order.');
  return withApp<ExitCode>(typed, io, async ({ context }) => {
    const entries = arrangements.map((arrangementId) => ({ arrangementId, note: null, pause: 0 }));
    const { id } = need(saveSetlist(context, null, name, entries));
    if (typed.flags.has('json')) printJson(io, { id, name, entries: entries.length });
    else io.out(`${id}  ${name}, ${entries.length} tunes\n`);
    return 0;
  });
}
