import type { DeviceName } from '../analysis/model.ts';
import { symbolOf } from '../chord/format.ts';
import type { ArcChoice } from '../proposals/arc.ts';

/** How many different things one device may say in a chorus before it becomes a mannerism. */
const STATEMENTS = 2;

/** A device at a stretch of a chorus. */
export interface Use {
  readonly chorus: number;
  readonly span: string;
  readonly device: DeviceName;
}

/**
 * The uses of a plan that make a chorus say one thing over and over: where a device is stated in more than
 * two ways in a chorus, those that are missed least, by how far the next best choice lies behind. The same
 * changes said again, as where an A section comes back, are one statement; what is fixed counts and stays.
 * Common practice, no source.
 */
export function overused(choices: readonly ArcChoice[]): Use[] {
  const said = new Map<string, Map<string, ArcChoice[]>>();
  for (const choice of choices) {
    const { proposal, chorus } = choice;
    if (proposal === null || proposal === 'hand') continue;
    const device = `${chorus} ${proposal.device}`;
    const words = proposal.changes.map(({ harmony }) => symbolOf(harmony)).join(' ');
    const statements = said.get(device) ?? new Map<string, ArcChoice[]>();
    statements.set(words, [...(statements.get(words) ?? []), choice]);
    said.set(device, statements);
  }
  return [...said.values()].flatMap((statements) => {
    const byLoss = [...statements.values()].sort((a, b) => missed(b) - missed(a));
    return byLoss.slice(STATEMENTS).flat().flatMap(useOf);
  });
}

/** What a plan loses without a statement; without end where some of it is fixed. */
function missed(statement: readonly ArcChoice[]): number {
  if (statement.some(({ fixed }) => fixed)) return Number.POSITIVE_INFINITY;
  return statement.reduce((sum, { runnerUp }) => sum + (runnerUp?.behind ?? 0), 0);
}

function useOf({ chorus, span, proposal, fixed }: ArcChoice): Use[] {
  if (fixed || proposal === null || proposal === 'hand') return [];
  return [{ chorus, span, device: proposal.device }];
}
