import { checkAll } from '../../app/check.ts';
import { readArgs } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { type ExitCode, need, printJson } from '../io.ts';
import { withApp } from '../session.ts';

/** Looks whether all is in order. */
export const CHECK: CliCommand = {
  usage: 'check',
  help: 'Looks through the library, the fonts and the versions.',
  async run(args, io) {
    const typed = readArgs(args, {});
    return withApp<ExitCode>(typed, io, async ({ context }) => {
      const report = need(await checkAll(context));
      if (typed.flags.has('json')) printJson(io, report);
      else {
        for (const { level, subject, message } of report.findings) {
          io.out(`${level === 'fine' ? 'fine ' : level.toUpperCase()}  ${subject}: ${message}\n`);
        }
        const versions = Object.entries(report.versions).map(
          ([name, version]) => `${name} ${version}`,
        );
        io.out(`${versions.join(', ')}\n`);
      }
      return report.sound ? 0 : 1;
    });
  },
};
