import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { chromaSetOf } from '../../shared-core/chord/tones.ts';
import { chromaOf } from '../../shared-core/pitch/spelled.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { propose } from '../../shared-core/proposals/propose.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import type { Chorus, TimedHarmony } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';

/**
 * The worked examples of the handbooks (tests/reference/devices.json, sources beside each row) typed as
 * tunes: what the book writes must be what the tune plays with one of our proposals in it, respelling aside.
 * The examples stand two silent bars into a section, because the first beat of a section keeps its chord.
 */
interface Example {
  readonly key: string;
  readonly next_chord?: string;
  readonly before: readonly (readonly string[])[];
  readonly after: readonly (readonly string[])[];
}

const { rows } = JSON.parse(
  readFileSync(new URL('../reference/devices.json', import.meta.url), 'utf8'),
) as { readonly rows: readonly { readonly id: string; readonly examples: readonly Example[] }[] };

const BAR = 3840;
const LEAD = 2 * BAR;

const words = (bars: Example['before']): string => bars.map((bar) => bar.join(' ')).join(' | ');

function readBars(key: string, bars: string) {
  const { tune, errors } = readTune(`title: T\nkey: ${key}\nmeter: 4/4\n\n[A]\n| ${bars} |\n`);
  if (!tune || errors.length > 0) throw new Error(JSON.stringify(errors));
  return tune;
}

function soundOf(harmony: Harmony): string {
  if (harmony.kind === 'none') return 'N.C.';
  const bass = harmony.bass === null ? '' : `/${chromaOf(harmony.bass)}`;
  return `${chromaOf(harmony.root)}:${chromaSetOf(harmony)}${bass}`;
}

/** What sounds in a stretch, with the tick of each change counted from its start. */
function heard(line: readonly TimedHarmony[], from: number, to: number): string {
  let last = '';
  return line
    .filter(({ start, length }) => start < to && start + length > from)
    .flatMap(({ start, harmony }) => {
      const sound = soundOf(harmony);
      if (sound === last) return [];
      last = sound;
      return [`${Math.max(start, from) - from} ${sound}`];
    })
    .join(', ');
}

/** The chorus with a proposal in it; no proposal of these tunes runs around the form's end. */
function withProposal(chorus: Chorus, { start, length, changes }: Proposal): TimedHarmony[] {
  const end = start + length;
  const around = chorus.harmony.flatMap((here) => [
    { ...here, length: Math.min(here.start + here.length, start) - here.start },
    {
      ...here,
      start: Math.max(here.start, end),
      length: here.start + here.length - Math.max(here.start, end),
    },
  ]);
  const inside = changes.map(({ at, length: long, harmony }) => ({
    start: start + at,
    length: long,
    harmony,
  }));
  return [...around.filter((one) => one.length > 0), ...inside].sort((a, b) => a.start - b.start);
}

function isProposed({ key, next_chord, before, after }: Example): boolean {
  const next = next_chord === undefined ? '' : ` | ${next_chord} | % | N.C. | N.C.`;
  const analysis = understand(readBars(key, `N.C. | N.C. | ${words(before)}${next}`));
  const wanted = unroll(readBars(key, words(after)));
  if (!analysis.ok || !wanted.ok) throw new Error('it does not play');
  const length = before.length * BAR;
  const target = heard(wanted.value.harmony, 0, length);
  return propose(analysis.value, { chorus: 1 }).some(
    (proposal) =>
      heard(withProposal(analysis.value.chorus, proposal), LEAD, LEAD + length) === target,
  );
}

const examples = rows.flatMap(({ id, examples: all }) =>
  all.map((example) => [`${id} in ${example.key}: ${words(example.after)}`, example] as const),
);

describe('a worked example of the handbooks typed as a tune', () => {
  it.each(examples)('%s is proposed, also where the held chord goes on behind it', (_, example) => {
    expect(isProposed(example)).toBe(true);
  });
});
