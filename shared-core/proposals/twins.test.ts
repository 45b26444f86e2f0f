import { describe, expect, it } from 'vitest';
import type { Analysis } from '../analysis/model.ts';
import { sitesOf } from '../devices/site.ts';
import { readTune } from '../tune/read.ts';
import { propose } from './propose.ts';
import { Twins } from './twins.ts';
import { understand } from './understand.ts';

const FIRST = '| Bbmaj7 | % | % | % | Ebmaj7 | Ab7 | Dm7 G7 | Cm7 F7 |';
const BRIDGE = '| Ebm7 | Ab7 | Dbmaj7 | % | Dm7b5 | G7 | Cm7 | F7 |';
const HIGH = 'melody: | whole D5 | D5 | F5 | F5 | G5 | C5 | half D5 B4 | C5 A4 |';
const LOW = 'melody: | whole Gb4 | Gb4 | F4 | F4 | G5 | C5 | half D5 B4 | C5 A4 |';

/** A tune in which the first section comes back at the end, with a melody over each of the two. */
function tuneOf(first: string, last: string, before = ''): Analysis {
  const sections = [`[A]\n${FIRST}\n${first}`, `[B]\n${BRIDGE}`, `[C]\n${FIRST}\n${last}`];
  const { tune, errors } = readTune(
    `key: Bb major\nmeter: 4/4\n\n${before}${sections.join('\n\n')}`,
  );
  if (!tune || errors.length > 0) throw new Error(JSON.stringify(errors));
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value;
}

/** How many sites are drafted when twins are moved. */
function draftedSites(analysis: Analysis): number {
  const twins = new Twins();
  let drafted = 0;
  for (const site of sitesOf(analysis)) {
    twins.draftsAt(site, () => {
      drafted += 1;
      return { site, drafts: [] };
    });
  }
  return drafted;
}

describe('a section that comes again', () => {
  it.each([
    ['without a melody', tuneOf('', '')],
    ['under the same melody', tuneOf(HIGH, HIGH)],
    ['under another melody', tuneOf(HIGH, LOW)],
    ['after an introduction of odd bars', tuneOf('', '', '[I]\n| F7 | % | % |\n\n')],
  ])('%s has the very proposals it has when it is asked about alone', (_, analysis) => {
    const options = { chorus: 0, tempo: 148, lastChorus: true };
    const all = propose(analysis, options);
    for (const { span } of sitesOf(analysis)) {
      const alone = propose(analysis, { ...options, spans: [span.id] });
      expect(all.filter((proposal) => proposal.span === span.id)).toEqual(alone);
    }
  });

  it('is drafted once where nothing but its place differs', () => {
    const sites = sitesOf(tuneOf('', '')).length;
    // Bbmaj7, Ebmaj7 and Ab7 come again; what follows leads into the bridge the first time.
    expect(draftedSites(tuneOf('', ''))).toBe(sites - 3);
  });

  it('is drafted again where the melody over its held chord is another', () => {
    expect(draftedSites(tuneOf(HIGH, HIGH))).toBe(draftedSites(tuneOf('', '')));
    expect(draftedSites(tuneOf(HIGH, LOW))).toBe(draftedSites(tuneOf(HIGH, HIGH)) + 1);
  });
});
