import { DEVICE_NAMES, type DeviceName } from '../../../shared-core/analysis/model.ts';
import { symbolOf } from '../../../shared-core/chord/format.ts';
import { sitesOf } from '../../../shared-core/devices/site.ts';
import type { Proposal } from '../../../shared-core/proposals/model.ts';
import { type ProposeOptions, propose } from '../../../shared-core/proposals/propose.ts';
import { readArgs, single, type Typed, wholeNumber } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { placeOf, proposalJson, spanJson, tuneJson } from '../describe.ts';
import { forEachTune } from '../each.ts';
import { badInput, type Io } from '../io.ts';
import type { GivenTune } from '../session.ts';

/** Proposals shown to people for each stretch; `--json` gives all. */
const SHOWN = 6;

/** Lists judged proposals. */
export const PROPOSE: CliCommand = {
  usage: 'propose FILE|ID... [--chorus N] [--span ID] [--device NAME]',
  help: 'Judged proposals for the held stretches, best first; the first chorus has the melody, the others do not.',
  async run(args, io) {
    const typed = readArgs(args, { chorus: 'value', span: 'value', device: 'value' });
    const asked = askedFor(typed);
    return forEachTune(
      typed,
      io,
      ({ known: { tune, analysis } }, word) => {
        const proposals = proposalsFor(tune.tempo, analysis, asked);
        const spans = sitesOf(analysis).map(({ span }) => span);
        const wanted = spans.filter((span) => asked.spans?.includes(span.id) ?? true);
        if (asked.spans && wanted.length === 0) {
          badInput(
            `There is no stretch ${asked.spans[0]}; there are ${spans.map((span) => span.id).join(', ')}.`,
          );
        }
        return {
          file: word,
          tune: tuneJson(tune, analysis),
          spans: wanted.map((span) => spanJson(analysis, span)),
          proposals: proposals.map((proposal) => proposalJson(analysis, proposal)),
        };
      },
      (_, tune) => printForPeople(tune, asked, io),
    );
  },
};

type Asked = Pick<ProposeOptions, 'chorus' | 'spans' | 'devices'>;

function proposalsFor(
  tempo: number | null,
  analysis: Parameters<typeof propose>[0],
  asked: Asked,
): readonly Proposal[] {
  return propose(analysis, { tempo, ...asked });
}

function askedFor(typed: Typed): Asked {
  const chorus = wholeNumber(typed, 'chorus', 1, 99);
  const span = single(typed, 'span');
  const devices = (typed.values.device ?? []).map(deviceNamed);
  return {
    ...(chorus === null ? {} : { chorus: chorus - 1 }),
    ...(span === null ? {} : { spans: [span] }),
    ...(devices.length === 0 ? {} : { devices }),
  };
}

/** A device by its name; ends the command with the names there are. */
export function deviceNamed(text: string): DeviceName {
  const found = DEVICE_NAMES.find((name) => name === text);
  return found ?? badInput(`There is no device ${text}; there are ${DEVICE_NAMES.join(', ')}.`);
}

function printForPeople({ known: { tune, analysis } }: GivenTune, asked: Asked, io: Io): void {
  const proposals = proposalsFor(tune.tempo, analysis, asked);
  io.out(`${tune.title}\n`);
  for (const { span } of sitesOf(analysis)) {
    const here = proposals.filter((proposal) => proposal.span === span.id);
    if (here.length === 0) continue;
    const { bar, beat } = placeOf(analysis, span.start);
    io.out(
      `\nbar ${bar} beat ${beat}, ${span.beats} beats of ${symbolOf(span.harmony)}  ${span.id}\n`,
    );
    for (const proposal of here.slice(0, SHOWN)) printProposal(proposal, io);
    if (here.length > SHOWN) io.out(`  and ${here.length - SHOWN} more\n`);
  }
}

function printProposal(proposal: Proposal, io: Io): void {
  const changes = proposal.changes.map(({ harmony }) => symbolOf(harmony)).join(' ');
  io.out(`  ${Math.round(proposal.score * 100)}  ${changes}  (${proposal.verdict})\n`);
  io.out(`      ${proposal.reason}\n      ${proposal.id}\n`);
}
