import { pitchName } from '../../shared-core/pitch/spelled.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { count, withSigns } from '../common/words.ts';
import { UnderTheHand } from './UnderTheHand.tsx';

/** The figures behind a proposal, for who asks. */
export function Figures({ proposal, id }: { readonly proposal: Proposal; readonly id: string }) {
  const { melodyFit, voiceLeading, clashes } = proposal;
  const { worst } = melodyFit;
  return (
    <dl className="figures-list figures" id={id}>
      <dt>Melody</dt>
      <dd>
        {melodyFit.findings.length === 0
          ? 'no melody note to mind'
          : `${Math.round(melodyFit.score * 100)} of 100`}
        {worst && (
          <>
            ; worst is {withSigns(pitchName(worst.note.pitch))} against {withSigns(worst.against)}
          </>
        )}
      </dd>
      <dt>Rubs with the comping</dt>
      <dd>
        {clashes.length === 0 ? (
          'none'
        ) : (
          <ul>
            {clashes.map((clash) => (
              <li key={`${clash.at} ${clash.words}`}>
                bar {clash.bar}, beat {clash.beat}: {withSigns(clash.words)}
              </li>
            ))}
          </ul>
        )}
      </dd>
      <dt>Voices</dt>
      <dd>
        move {count(voiceLeading.semitones, 'semitone')} in all,{' '}
        {count(voiceLeading.commonTones, 'common tone')}, {voiceLeading.guideSteps} of{' '}
        {count(voiceLeading.guideMoves, 'guide tone')} by step
      </dd>
      <UnderTheHand proposal={proposal} />
      <dt>Bass</dt>
      <dd>{bassWords(proposal.bassMotion)}</dd>
      <dt>Heard</dt>
      <dd>{usualWords(proposal.usual)}</dd>
      <dt>Reading</dt>
      <dd>{count(proposal.changesPerMinute, 'change')} a minute</dd>
      <dt>Tension</dt>
      <dd>peaks at {Math.round(proposal.peak * 100)} of 100</dd>
      <dt>Freshness</dt>
      <dd>{Math.round(proposal.freshness * 100)} of 100</dd>
      <dt>All in all</dt>
      <dd>{Math.round(proposal.score * 100)} of 100</dd>
    </dl>
  );
}

function bassWords(motion: number): string {
  const how = motion >= 0.7 ? 'walks firmly' : motion >= 0.4 ? 'moves' : 'has little pull';
  return `${how}, ${Math.round(motion * 100)} of 100`;
}

function usualWords(usual: number): string {
  const how = usual >= 0.7 ? 'often' : usual >= 0.4 ? 'now and then' : 'seldom';
  return `${how} over such a chord, ${Math.round(usual * 100)} of 100`;
}
