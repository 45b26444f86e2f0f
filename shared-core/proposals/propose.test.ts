import { describe, expect, it } from 'vitest';
import type { Analysis } from '../analysis/model.ts';
import { symbolOf } from '../chord/format.ts';
import { nameOf } from '../pitch/spelled.ts';
import { readTune } from '../tune/read.ts';
import type { Proposal } from './model.ts';
import { type ProposeOptions, propose } from './propose.ts';
import { tasteOf } from './taste.ts';
import { understand } from './understand.ts';

function analysed(bars: string, key = 'C major', melody = ''): Analysis {
  const text = `title: T\nkey: ${key}\nmeter: 4/4\n\n[A]\n${bars}\n${melody}`;
  const { tune, errors } = readTune(text);
  if (!tune || errors.length > 0) throw new Error(JSON.stringify(errors));
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value;
}

const STATIC_C = analysed('| Cmaj7 | % | % | % | Dm7 | G7 | Cmaj7 | % |');

/** Proposals at the first span, found by device and what they write. */
function find(
  analysis: Analysis,
  device: string,
  wanted: string,
  options: ProposeOptions = {},
): Proposal {
  const found = propose(analysis, { chorus: 1, ...options }).find(
    (proposal) => proposal.device === device && written(proposal) === wanted,
  );
  if (!found) throw new Error(`${device} does not write ${wanted}`);
  return found;
}

function written(proposal: Proposal): string {
  return proposal.changes
    .map(({ harmony, length }) => `${symbolOf(harmony)}:${length / 960}`)
    .join(' ');
}

describe('proposals for a tune', () => {
  it('are the same, with the same ids and figures, every time they are asked for', () => {
    const again = analysed('| Cmaj7 | % | % | % | Dm7 | G7 | Cmaj7 | % |');
    expect(propose(again, { chorus: 1 })).toEqual(propose(STATIC_C, { chorus: 1 }));
  });

  it('are the same in the last chorus and in others, whichever of them was asked about first', () => {
    const bars = '| Cmaj7 | % | % | % | Dm7 | G7 | Cmaj7 | % |';
    const last = (analysis: Analysis) => propose(analysis, { chorus: 3, lastChorus: true });
    const other = (analysis: Analysis) => propose(analysis, { chorus: 2 });
    const [first, second] = [analysed(bars), analysed(bars)];
    const [lastFirst, otherAfter] = [last(first), other(first)];
    const [otherFirst, lastAfter] = [other(second), last(second)];
    expect(lastAfter).toEqual(lastFirst);
    expect(otherAfter).toEqual(otherFirst);
    expect(lastAfter).not.toEqual(otherFirst);
  });

  it('have ids of their own', () => {
    const ids = propose(STATIC_C, { chorus: 1 }).map((proposal) => proposal.id);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('say what one device writes once, in short bars too', () => {
    const { tune } = readTune(
      'title: T\nkey: C minor\nmeter: 6/8\n\n[A]\n| Cm6 | Dm7b5 | G7b9 | Cm6 |\n',
    );
    const analysis = tune && understand(tune);
    if (!analysis?.ok) throw new Error('not understood');
    const said = propose(analysis.value, { chorus: 1 }).map(
      (p) => `${p.device} ${p.span} ${p.carrier} ${p.degree === 'note'} ${written(p)}`,
    );
    expect(new Set(said).size).toBe(said.length);
  });

  it('leave the first beat of a section its written chord, unless the device is asked for by name', () => {
    const dominant = analysed('| G7 | % | Cmaj7 | % |');
    const splits = (options: ProposeOptions) =>
      propose(dominant, { chorus: 1, ...options })
        .filter(({ device, span }) => device === 'two-five-split' && span === 'b1.1x8')
        .map(written);
    expect(splits({})).not.toContain('Dm7:4 G7:4');
    expect(splits({ devices: ['two-five-split'] })).toContain('Dm7:4 G7:4');
  });

  it('stand best first within their span, with scores between nought and one', () => {
    const proposals = propose(STATIC_C, { chorus: 1 }).filter(
      (proposal) => proposal.span === 'b1.1x16',
    );
    expect(proposals.length).toBeGreaterThan(20);
    for (let index = 1; index < proposals.length; index++) {
      expect(proposals[index - 1]?.score).toBeGreaterThanOrEqual(proposals[index]?.score ?? 2);
    }
    for (const { score, freshness } of proposals) {
      expect(score).toBeGreaterThan(0);
      expect(score).toBeLessThanOrEqual(1);
      expect(freshness).toBe(1);
    }
  });

  // What the trade reaches for over two bars of home going to its two. Common practice, no source.
  it('put what every player knows before what is rare', () => {
    const home = analysed('| Cmaj7 | % | Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 |');
    const devices = propose(home, { chorus: 1 })
      .filter(({ span }) => span === home.spans[0]?.id)
      .map(({ device }) => device);
    const order = [...new Set(devices)];
    for (const known of ['minor-four', 'lead-in-dominant', 'side-step', 'backdoor'] as const) {
      for (const rare of ['modal-interchange', 'parallel-motion', 'major-thirds-cycle'] as const) {
        if (order.includes(rare)) expect(order.indexOf(known)).toBeLessThan(order.indexOf(rare));
      }
    }
    expect(order.slice(0, 8)).toContain('minor-four');
    expect(order).toContain('modal-interchange');
  });

  it('name the note that tells and the note that brings it home: Ab to G for minor four in C', () => {
    const four = find(STATIC_C, 'minor-four', 'Cmaj7:10 Fm6:2 Cmaj7:4');
    expect([nameOf(four.tells ?? 99), nameOf(four.home ?? 99)]).toEqual(['Ab', 'G']);
  });
});

describe('the clash between soloist and comping', () => {
  // Rules: common practice, no source. A held flat six against the fifth is a clash, and so is a flat
  // seventh against a major seventh; a tritone substitute over its dominant is accepted.
  it('hears the flat six of minor four against the fifth', () => {
    const four = find(STATIC_C, 'minor-four', 'Cmaj7:10 Fm6:2 Cmaj7:4');
    expect(four.clashes.map((clash) => clash.words)).toContain("Ab over Cmaj7's G");
    expect(four.clashes[0]).toMatchObject({ bar: 3, beat: 3, at: 9600, length: 1920 });
    expect(four.verdict).toBe('tell the rhythm section');
  });

  it('hears the flat seventh of the backdoor against a major seventh', () => {
    const backdoor = find(STATIC_C, 'backdoor', 'Cmaj7:10 Bb7:2 Cmaj7:4');
    expect(backdoor.clashes.map((clash) => clash.words)).toContain("Bb over Cmaj7's B");
  });

  it('accepts a tritone substitute over the dominant it stands for', () => {
    const dominant = analysed('| G7 | % | % | % | Cmaj7 | % | Dm7 | G7 |');
    const substitute = propose(dominant, { chorus: 1 }).find(
      (proposal) =>
        proposal.device === 'tritone-substitute' &&
        proposal.degree === 'seventh' &&
        proposal.span === 'b1.1x16',
    );
    expect(substitute?.clashes).toEqual([]);
    expect(substitute?.verdict).toBe('fine over the top');
  });

  it('asks the band to follow when a new root stands for a bar or more', () => {
    expect(find(STATIC_C, 'minor-four', 'Cmaj7:8 Fm6:4 Cmaj7:4').verdict).toBe(
      'the band must follow',
    );
  });

  it('asks nobody to follow a soloist who leans on one note over the held chord, however long', () => {
    const fours = propose(STATIC_C, { chorus: 1 }).filter(
      ({ device, degree, span }) =>
        device === 'minor-four' && degree === 'note' && span === 'b1.1x16',
    );
    expect(fours.some(({ changes }) => (changes[1]?.length ?? 0) >= 3840)).toBe(true);
    for (const { verdict } of fours) expect(verdict).toBe('tell the rhythm section');
  });

  it('asks the band to follow when a new key is set', () => {
    const cycle = propose(STATIC_C, { chorus: 1 }).filter(
      (proposal) => proposal.device === 'major-thirds-cycle',
    );
    expect(cycle.length).toBeGreaterThan(0);
    for (const proposal of cycle) expect(proposal.verdict).toBe('the band must follow');
  });

  it('asks the band to follow a clash at the very end', () => {
    const proposals = propose(STATIC_C, { chorus: 3, lastChorus: true }).filter(
      (proposal) => proposal.span.startsWith('b7.1x') && proposal.clashes.length > 0,
    );
    expect(proposals.length).toBeGreaterThan(0);
    for (const proposal of proposals) expect(proposal.verdict).toBe('the band must follow');
  });
});

describe('the melody', () => {
  const held = analysed(
    '| Cmaj7 | % | Dm7 | G7 |',
    'C major',
    'melody: | whole G4 | whole G4 | whole A4 | whole B4 |\n',
  );

  it('keeps out what a held note speaks against: a flat six under a held fifth', () => {
    const fours = propose(held, { chorus: 0 }).filter(
      (proposal) => proposal.device === 'minor-four',
    );
    // Fm6 holds F Ab C D: the melody's G lies a semitone below Ab and a whole tone above F, so it passes
    // as the ninth; Fm7 holds Eb too, and passes alike. Db chords put G a tritone away.
    for (const proposal of fours)
      expect(proposal.melodyFit.findings.every(({ fit }) => fit !== 'clash')).toBe(true);
    const steps = propose(held, { chorus: 0 }).filter(
      (proposal) => proposal.device === 'side-step',
    );
    for (const proposal of steps) expect(proposal.melodyFit.worst?.fit).not.toBe('clash');
  });

  it('is silent in a solo chorus, where the same proposals are all there', () => {
    const head = propose(held, { chorus: 0 }).length;
    const solo = propose(held, { chorus: 1 }).length;
    expect(head).toBeLessThan(solo);
  });

  it('gives way to a device asked for by name, and its worst note is then named', () => {
    const asked = propose(held, { chorus: 0, devices: ['side-step'] });
    const clashing = asked.find((proposal) => proposal.melodyFit.worst?.fit === 'clash');
    expect(clashing?.melodyFit.worst?.note.pitch).toEqual({ pc: 1, octave: 4 });
    expect(clashing?.melodyFit.score).toBeLessThan(0.5);
  });
});

describe('freshness', () => {
  it('falls to nought for the same device at the same place next door, and only its own score with it', () => {
    const before = propose(STATIC_C, { chorus: 2 });
    const uses = [
      { chorus: 1, device: 'backdoor', degree: 'seventh', start: 0, length: 15360 } as const,
    ];
    const after = propose(STATIC_C, { chorus: 2, uses });
    const scoreOf = new Map(after.map((proposal) => [proposal.id, proposal]));
    for (const proposal of before) {
      const now = scoreOf.get(proposal.id);
      if (proposal.device !== 'backdoor') expect(now).toEqual(proposal);
      else expect(now?.freshness).toBeLessThan(1);
    }
    const stale = after.find(
      (p) => p.device === 'backdoor' && p.degree === 'seventh' && p.span === 'b1.1x16',
    );
    expect(stale?.freshness).toBe(0);
  });
});

describe('a proposal laid aside', () => {
  it('teaches taste about its own device and degree, and changes no other figure of any proposal', () => {
    const uses = [
      { chorus: 1, device: 'backdoor', degree: 'seventh', start: 0, length: 15360 } as const,
    ];
    const before = propose(STATIC_C, { chorus: 2, uses });
    const taste = tasteOf([{ device: 'side-step', degree: 'seventh', accepted: 0, rejected: 1 }]);
    const after = new Map(
      propose(STATIC_C, { chorus: 2, uses, taste }).map((proposal) => [proposal.id, proposal]),
    );
    expect(after.size).toBe(before.length);
    for (const proposal of before) {
      const now = after.get(proposal.id);
      if (proposal.device === 'side-step') {
        expect({ ...now, score: 0 }).toEqual({ ...proposal, score: 0 });
      } else {
        // Taste lifts nothing else: a device nobody has judged stays where it was.
        expect(now, proposal.id).toEqual(proposal);
      }
    }
  });
});

describe("the leader's taste", () => {
  it('moves what is accepted up and what is laid aside down, and hides nothing', () => {
    const plain = propose(STATIC_C, { chorus: 1 });
    const taste = tasteOf([
      { device: 'minor-four', degree: 'seventh', accepted: 20, rejected: 0 },
      { device: 'side-step', degree: 'seventh', accepted: 0, rejected: 40 },
    ]);
    const learned = propose(STATIC_C, { chorus: 1, taste });
    expect(learned).toHaveLength(plain.length);
    const score = (list: readonly Proposal[], id: string) =>
      list.find((proposal) => proposal.id === id)?.score ?? 0;
    const four = find(STATIC_C, 'minor-four', 'Cmaj7:10 Fm6:2 Cmaj7:4').id;
    const step = find(STATIC_C, 'side-step', 'Cmaj7:10 Dbmaj7:2 Cmaj7:4').id;
    expect(score(learned, four)).toBeGreaterThan(score(plain, four));
    expect(score(learned, step)).toBeLessThan(score(plain, step));
    expect(taste.weightOf('side-step', 'seventh')).toBeGreaterThanOrEqual(0.2);
    expect(taste.weightOf('backdoor', 'seventh')).toBe(0.5);
  });
});

describe('tension', () => {
  it('is lowest at home and rises through two, dominant and tritone substitute', () => {
    const peak = (device: string, text: string) => find(STATIC_C, device, text).peak;
    expect(find(STATIC_C, 'minor-four', 'Cmaj7:10 Fm6:2 Cmaj7:4').tension).toEqual([
      0,
      expect.any(Number),
      0,
    ]);
    expect(peak('early-arrival', 'Cmaj7:14 Dm7:2')).toBeLessThan(
      peak('lead-in-dominant', 'Cmaj7:14 A7:2'),
    );
    expect(peak('lead-in-dominant', 'Cmaj7:14 A7:2')).toBeLessThan(
      peak('tritone-substitute', 'Cmaj7:14 Eb7:2'),
    );
  });
});
