import type { Proposal } from '../proposals/model.ts';
import type { Layer, Placement, Rejection } from './model.ts';

/** Which layer a proposal goes to when the leader does not say: what the judge's verdict asks for. */
export function usualLayer(proposal: Proposal): Layer {
  if (proposal.carrier !== 'either') return proposal.carrier === 'band' ? 'band' : 'soloist';
  return proposal.verdict === 'the band must follow' ? 'band' : 'soloist';
}

/** The placement that accepting a proposal in a chorus makes. `id` is the caller's, unique in the arrangement. */
export function placementOf(
  proposal: Proposal,
  chorus: string,
  layer: Layer,
  id: string,
): Placement {
  return {
    id,
    chorus,
    layer,
    start: proposal.start,
    length: proposal.length,
    changes: proposal.changes,
    origin: {
      kind: 'proposal',
      proposal: proposal.id,
      device: proposal.device,
      degree: proposal.degree,
      span: proposal.span,
      verdict: proposal.verdict,
      tells: proposal.tells,
      home: proposal.home,
      reason: proposal.reason,
    },
  };
}

/** The rejection that laying a proposal aside in a chorus makes. */
export function rejectionOf(proposal: Proposal, chorus: string): Rejection {
  return {
    id: `${chorus}:${proposal.id}`,
    chorus,
    proposal: proposal.id,
    device: proposal.device,
    degree: proposal.degree,
  };
}
