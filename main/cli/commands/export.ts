import type { ChartOptions } from '../../../shared-core/contract/types.ts';
import { startExport } from '../../app/charts.ts';
import { type OpenArrangement, openArrangement } from '../../app/context.ts';
import { readArgs, single, type Typed } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { writeExport } from '../deliver.ts';
import { badInput, type ExitCode, need, printJson } from '../io.ts';
import { withApp } from '../session.ts';

/** Writes an arrangement's charts and sound files. */
export const EXPORT: CliCommand = {
  usage:
    'export ARRANGEMENT [--chair NAME|all] --out DIR [--paper a4|letter] [--style words|signs] [--large]',
  help: 'PDF and MusicXML for each chair, and MIDI: the whole band, without each chair, half speed, once through, each chorus to loop.',
  async run(args, io) {
    const typed = readArgs(args, {
      chair: 'value',
      out: 'value',
      paper: 'value',
      style: 'value',
      large: 'flag',
    });
    const [id] = typed.words;
    if (!id || typed.words.length > 1) badInput('Name one arrangement by its id.');
    const out = single(typed, 'out') ?? badInput('Say where to with --out FOLDER.');
    const options = chartOptionsOf(typed);
    return withApp<ExitCode>(typed, io, async (app) => {
      const open = need(openArrangement(app.context, id));
      const chairs = chairsNamed(open, typed.values.chair ?? ['all']);
      const { job } = need(
        startExport(app.context, id, chairs, ['pdf', 'musicxml', 'midi'], options),
      );
      const files = await writeExport(app, job, out, io);
      if (typed.flags.has('json')) printJson(io, { files });
      else for (const file of files) io.out(`${file.path}\n`);
      return 0;
    });
  },
};

/** Options of charts that were typed. */
export function chartOptionsOf(typed: Typed): ChartOptions {
  const paper = single(typed, 'paper');
  const style = single(typed, 'style');
  if (paper !== null && paper !== 'a4' && paper !== 'letter')
    badInput(`--paper is a4 or letter, not ${paper}.`);
  if (style !== null && style !== 'words' && style !== 'signs')
    badInput(`--style is words or signs, not ${style}.`);
  return {
    ...(paper === null ? {} : { paper }),
    ...(style === null ? {} : { style }),
    ...(typed.flags.has('large') ? { large: true } : {}),
  };
}

/** Chairs by id or name, whatever the case. */
function chairsNamed(
  { band }: OpenArrangement,
  names: readonly string[],
): 'all' | readonly string[] {
  if (names.includes('all')) return 'all';
  return names.map((name) => {
    const wanted = name.toLowerCase();
    const found = band.chairs.find(
      (chair) => chair.id.toLowerCase() === wanted || chair.name.toLowerCase() === wanted,
    );
    if (!found)
      badInput(
        `The band has no chair ${name}; it has ${band.chairs.map((chair) => chair.name).join(', ')}.`,
      );
    return found.id;
  });
}
