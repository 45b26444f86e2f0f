import { presetIntensities } from '../../../shared-core/proposals/arc.ts';
import { createArrangement } from '../../app/arrangements.ts';
import { openArrangement } from '../../app/context.ts';
import type { OpenContext } from '../../app/open.ts';
import { acceptProposal, nameChoruses, planArrangement } from '../../app/plan.ts';
import { readArgs, single, type Typed, wholeNumber } from '../args.ts';
import type { CliCommand } from '../command.ts';
import { badInput, type ExitCode, need, printJson } from '../io.ts';
import { withApp } from '../session.ts';

const PRESETS = ['rise-and-come-home', 'all-plain', 'head-plain-solos-free'] as const;

/** Makes an arrangement. */
export const ARRANGE: CliCommand = {
  usage: 'arrange ID --name NAME --choruses N [--accept PROPOSAL@CHORUS ...] [--plan LEVELS]',
  help: `Makes an arrangement of a tune. LEVELS are intensities 0-5, one for each chorus (1,2,4), or one of ${PRESETS.join(', ')}.`,
  async run(args, io) {
    const typed = readArgs(args, {
      name: 'value',
      choruses: 'value',
      accept: 'value',
      plan: 'value',
    });
    const [tuneId] = typed.words;
    if (!tuneId || typed.words.length > 1)
      badInput('Name one tune by its id; see: changewright tunes');
    const name = single(typed, 'name')?.trim();
    if (!name) badInput('Give the arrangement a name with --name.');
    const choruses =
      wholeNumber(typed, 'choruses', 1, 99) ?? badInput('Say how many choruses with --choruses.');
    const accepts = (typed.values.accept ?? []).map((text) => acceptOf(text, choruses));
    const levels = levelsOf(typed, choruses);
    return withApp<ExitCode>(typed, io, async (app) => {
      const { id } = need(createArrangement(app.context, tuneId, name, choruses));
      need(nameChoruses(app.context, id));
      for (const { proposal, chorus } of accepts)
        need(acceptProposal(app.context, id, proposal, chorus));
      const planned = levels ? need(planArrangement(app.context, id, levels)) : null;
      const said = arrangementJson(app, id);
      if (typed.flags.has('json')) printJson(io, { ...said, planned });
      else {
        io.out(`${id}  ${said.name}, ${said.choruses} choruses\n`);
        for (const { chorus, proposal, layer } of said.placements) {
          io.out(`    chorus ${chorus}: ${proposal} (${layer})\n`);
        }
      }
      return 0;
    });
  },
};

function arrangementJson({ context }: OpenContext, id: string) {
  const { state, stored } = need(openArrangement(context, id));
  const placements = Object.values(state.placements)
    .map((placement) => ({
      id: placement.id,
      chorus: (state.choruses[placement.chorus]?.order ?? 0) + 1,
      proposal: placement.origin.kind === 'proposal' ? placement.origin.proposal : 'hand',
      layer: placement.layer,
      start: placement.start,
    }))
    .sort((a, b) => a.chorus - b.chorus || a.start - b.start)
    .map(({ start: _, ...rest }) => rest);
  const choruses = Object.keys(state.choruses).length;
  return { id, tuneId: stored.tuneId, name: state.head.name, choruses, placements };
}

/** `PROPOSAL@CHORUS`; the chorus counts from 1. */
function acceptOf(text: string, choruses: number): { proposal: string; chorus: number } {
  const at = text.lastIndexOf('@');
  const chorus = Number(text.slice(at + 1));
  if (at < 1 || !Number.isInteger(chorus) || chorus < 1 || chorus > choruses) {
    badInput(`--accept takes PROPOSAL@CHORUS with a chorus from 1 to ${choruses}, not ${text}.`);
  }
  return { proposal: text.slice(0, at), chorus };
}

function levelsOf(typed: Typed, choruses: number): readonly number[] | null {
  const text = single(typed, 'plan');
  if (text === null) return null;
  const preset = PRESETS.find((name) => name === text);
  if (preset) return presetIntensities(preset, choruses);
  const levels = text.split(',').map(Number);
  if (levels.some((level) => !Number.isInteger(level) || level < 0 || level > 5)) {
    badInput(
      `--plan takes intensities from 0 to 5 such as 1,2,4, or ${PRESETS.join(', ')}; not ${text}.`,
    );
  }
  if (levels.length !== choruses) {
    badInput(
      `--plan has ${levels.length} intensities for ${choruses} choruses; give one for each.`,
    );
  }
  return levels;
}
