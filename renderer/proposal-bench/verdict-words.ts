import type { Proposal, Verdict } from '../../shared-core/proposals/model.ts';

const VERDICTS: Readonly<Record<Verdict, string>> = {
  'fine over the top': 'Fine over the top',
  'tell the rhythm section': 'Tell the rhythm section',
  'the band must follow': 'The band must follow',
};

/** Who has to know about a proposal: `Fine over the top`. */
export function verdictWords(proposal: Pick<Proposal, 'verdict'>): string {
  return VERDICTS[proposal.verdict];
}
