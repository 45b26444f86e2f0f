import type { Answer } from '../../shared-core/contract/errors.ts';
import type { CheckFinding, CheckReport } from '../../shared-core/contract/types.ts';
import { type AppContext, knownTune, openArrangement } from './context.ts';
import { answerOf, success } from './failures.ts';

/**
 * Looks through everything that must be in order: the library's pages and references, that every tune and
 * arrangement can still be read, fonts and engraving, versions.
 */
export async function checkAll(context: AppContext): Promise<Answer<CheckReport>> {
  const works = await context.works();
  const findings = [
    ...libraryFindings(context),
    ...contentFindings(context),
    ...(await works.inspect()),
  ];
  const { library, sqlite } = context.library.versions();
  return success({
    sound: findings.every((finding) => finding.level !== 'error'),
    findings,
    versions: {
      changewright: context.version,
      library: String(library),
      sqlite,
      node: process.versions.node,
    },
  });
}

/** Makes a checked backup now. */
export async function backUpNow(
  context: AppContext,
): Promise<Answer<{ readonly name: string; readonly bytes: number; readonly at: string }>> {
  const made = answerOf(await context.library.backUp('hand'));
  if (!made.ok) return made;
  const { name, bytes } = made.value;
  return success({ name, bytes, at: context.library.now() });
}

function libraryFindings(context: AppContext): readonly CheckFinding[] {
  const faults = context.library.faults();
  const counts = context.library.counts();
  if (faults.length > 0) {
    return faults.map((message) => ({ level: 'error', subject: 'library', message }));
  }
  const message = `${context.library.name} is sound: ${counts.tunes} tunes, ${counts.arrangements} arrangements, ${counts.decisions} decisions, ${counts.setlists} set lists.`;
  return [{ level: 'fine', subject: 'library', message }];
}

/** Tunes and arrangements, the bin included, that this program cannot read. */
function contentFindings(context: AppContext): readonly CheckFinding[] {
  const findings: CheckFinding[] = [];
  for (const binned of [false, true]) {
    for (const row of context.library.tunes.list(null, binned)) {
      const known = knownTune(context, row.id);
      if (!known.ok) findings.push(fault(row.title, known.error.message));
      for (const gone of [false, true]) {
        for (const arrangement of context.library.arrangements.list(row.id, gone)) {
          const open = known.ok ? openArrangement(context, arrangement.id) : null;
          if (open && !open.ok) findings.push(fault(arrangement.name, open.error.message));
        }
      }
    }
  }
  return findings;
}

function fault(subject: string, message: string): CheckFinding {
  return { level: 'error', subject, message };
}
