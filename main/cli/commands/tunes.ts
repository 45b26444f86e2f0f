import { listTunes } from '../../app/list-tunes.ts';
import { readArgs, single } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { type ExitCode, printJson } from '../io.ts';
import { withApp } from '../session.ts';

/** Lists the library. */
export const TUNES: CliCommand = {
  usage: 'tunes [--search TEXT]',
  help: 'Lists the tunes of the library, or those with the text in title, credit or chords.',
  async run(args, io) {
    const typed = readArgs(args, { search: 'value' });
    return withApp<ExitCode>(typed, io, async ({ context }) => {
      const rows = listTunes(context, single(typed, 'search') ?? '', false);
      if (typed.flags.has('json')) {
        const tunes = rows.map(({ id, title, key, meter, bars, arrangements }) => ({
          id,
          title,
          key,
          meter,
          bars,
          arrangements,
        }));
        printJson(io, { tunes });
        return 0;
      }
      if (rows.length === 0)
        io.out('No tunes here yet; bring some in with: changewright import FILE\n');
      for (const { id, title, key, meter, bars, arrangements } of rows) {
        const count = arrangements === 1 ? '1 arrangement' : `${arrangements} arrangements`;
        io.out(`${id}  ${title} (${key}, ${meter}, ${bars} bars, ${count})\n`);
      }
      return 0;
    });
  },
};
