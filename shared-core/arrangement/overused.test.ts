import { describe, expect, it } from 'vitest';
import { changesOf, meterNamed } from '../../tests/support/site.ts';
import type { ArcChoice } from '../proposals/arc.ts';
import type { Proposal } from '../proposals/model.ts';
import { propose } from '../proposals/propose.ts';
import { understand } from '../proposals/understand.ts';
import { readTune } from '../tune/read.ts';
import { overused } from './overused.ts';

const FOUR = meterNamed('4/4');

/** Any proposal, to be given other words. */
function anyProposal(): Proposal {
  const { tune } = readTune('title: T\nkey: C major\nmeter: 4/4\n[A]\n| Cmaj7 | % | Dm7 | G7 |\n');
  const analysis = tune && understand(tune);
  const first = analysis?.ok ? propose(analysis.value)[0] : undefined;
  if (!first) throw new Error('nothing proposed');
  return first;
}

const SOME = anyProposal();

function side(
  span: string,
  words: string,
  behind: number,
  more: Partial<ArcChoice> = {},
): ArcChoice {
  return {
    chorus: 0,
    span,
    proposal: { ...SOME, device: 'side-step', span, changes: changesOf(`| ${words} |`, FOUR) },
    fixed: false,
    why: '',
    runnerUp: { proposal: null, behind },
    ...more,
  };
}

const spans = (choices: readonly ArcChoice[]) => overused(choices).map(({ span }) => span);

// A device said over and over is a mannerism. Common practice, no source.
describe('a device in a chorus', () => {
  it('may say two things; of three the one missed least goes', () => {
    const two = [side('a', 'C Db', 0.3), side('b', 'F Gb', 0.2)];
    expect(spans(two)).toEqual([]);
    expect(spans([...two, side('c', 'G Ab', 0.1)])).toEqual(['c']);
    expect(spans([side('c', 'G Ab', 0.1), ...two])).toEqual(['c']);
  });

  it('may say the same thing as often as it likes', () => {
    expect(spans(['a', 'b', 'c', 'd'].map((span) => side(span, 'C Db', 0.1)))).toEqual([]);
  });

  it('says things in each chorus by itself', () => {
    const choices = ['C Db', 'F Gb', 'G Ab'].map((words, chorus) =>
      side('a', words, 0.1, { chorus }),
    );
    expect(spans(choices)).toEqual([]);
  });

  it('keeps what is fixed, which counts all the same', () => {
    const fixed = [
      side('a', 'C Db', 0, { fixed: true }),
      side('b', 'F Gb', 0, { fixed: true }),
      side('c', 'G Ab', 0, { fixed: true }),
    ];
    expect(spans([...fixed, side('d', 'A Bb', 0.9)])).toEqual(['d']);
  });
});
