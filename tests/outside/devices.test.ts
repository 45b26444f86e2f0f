import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { DeviceName } from '../../shared-core/analysis/model.ts';
import type { Chord } from '../../shared-core/chord/model.ts';
import { DEVICES, deviceByName } from '../../shared-core/devices/index.ts';
import type { Change, Rewrite, Site } from '../../shared-core/devices/model.ts';
import { chordIn, semitonesUp } from '../../shared-core/devices/sound.ts';
import type { Key } from '../../shared-core/pitch/key.ts';
import { parseMeter } from '../../shared-core/time/meter.ts';
import { changesOf, chordNamed, find, keyNamed, siteOfChanges, wordsOf } from '../support/site.ts';

/**
 * Devices against the handbooks: every worked example of tests/reference/devices.json (25 devices of the
 * trade, each with its published sources in the file) must be among our rewrites: the same span, the same
 * chords at the same places, respelling aside, and so in all twelve keys, because every row is relative.
 */

interface Example {
  readonly key: string;
  readonly span_bars: number;
  readonly next_chord?: string;
  readonly note?: string;
  readonly before: readonly (readonly string[])[];
  readonly after: readonly (readonly string[])[];
}

interface Row {
  readonly id: string;
  readonly name: string;
  readonly examples: readonly Example[];
}

interface Turnaround {
  readonly name: string;
  readonly in_c: readonly (readonly string[])[];
  readonly in_f: readonly (readonly string[])[];
  readonly in_bb: readonly (readonly string[])[];
  readonly four_bar_form_in_c: readonly (readonly string[])[];
}

interface Reference {
  readonly rows: readonly Row[];
  readonly secondary_dominant_table: readonly {
    readonly target: string;
    readonly in_c: string;
    readonly in_bb: string;
    readonly in_e: string;
  }[];
  readonly modal_interchange_chords: readonly {
    readonly numeral: string;
    readonly in_c: string;
    readonly in_f: string;
    readonly in_bb: string;
  }[];
  readonly turnarounds: readonly Turnaround[];
  readonly turnarounds_by_arrival: readonly {
    readonly first_chord_of_next_section: string;
    readonly in_c: readonly (readonly string[])[];
    readonly arrives_on_in_c: string;
  }[];
}

const reference = JSON.parse(
  readFileSync(new URL('../reference/devices.json', import.meta.url), 'utf8'),
) as Reference;

/**
 * Which of our devices answers for which handbook row. Where a row holds several of ours, each is named
 * with the reason.
 */
const OURS: Readonly<Record<string, readonly DeviceName[]>> = {
  'minor-four': ['minor-four'],
  'side-step': ['side-step'],
  // The raised four that climbs from IV7 to home over its fifth is a passing diminished.
  'blues-iv7': ['blues-four', 'passing-diminished'],
  'backdoor-dominant': ['backdoor'],
  'backdoor-ii-v': ['backdoor'],
  anticipation: ['early-arrival'],
  'secondary-dominant': ['lead-in-dominant'],
  'related-ii-v': ['related-two-five'],
  'tritone-substitution': ['tritone-substitute'],
  'tritone-substitution-with-ii': ['tritone-substitute'],
  'leading-tone-diminished': ['passing-diminished'],
  'passing-diminished-falling': ['passing-diminished'],
  'common-tone-diminished': ['common-tone-diminished'],
  'extended-dominants': ['dominant-chain'],
  'line-cliche-minor': ['line-cliche'],
  'line-cliche-major': ['line-cliche'],
  'pedal-point': ['pedal-point'],
  'three-tonic-cycle': ['major-thirds-cycle'],
  'constant-structure': ['parallel-motion'],
  'modal-interchange': ['modal-interchange'],
  'sus-preparation': ['suspended-preparation'],
  'ii-v-interpolation': ['two-five-split'],
  // Six and three for one turn round into two; the stepwise walk is parallel motion inside the key.
  'tonic-substitutes': ['turnaround', 'parallel-motion'],
  // A whole shape a semitone off that slides into the next chord.
  'half-step-approach': ['parallel-motion'],
  // A descent over four chords that arrives on two: a turnaround by its arrival.
  'sharp-four-half-diminished': ['turnaround'],
};

const METER = parseMeter('4/4') ?? { count: 4, unit: 4 };
const FIFTHS = Array.from({ length: 12 }, (_, i) => i - 6);

const barText = (bars: readonly (readonly string[])[]): string =>
  `| ${bars.map((bar) => bar.join(' ')).join(' | ')} |`;

/** A key moved along the line of fifths, kept between five flats and six sharps (or the minor keys beside them). */
function movedKey(key: Key, by: number): Key {
  const signature = key.mode === 'major' ? key.tonic + by : key.tonic - 3 + by;
  const turn = signature > 6 ? -12 : signature < -5 ? 12 : 0;
  return { ...key, tonic: key.tonic + by + turn };
}

/** Written chords moved into another key and spelled there. */
function movedChanges(changes: readonly Change[], from: Key, to: Key): readonly Change[] {
  return changes.map((change) => {
    if (change.harmony.kind === 'none') return change;
    return { ...change, harmony: movedChord(change.harmony, from, to) };
  });
}

function movedChord(chord: Chord, from: Key, to: Key): Chord {
  const by = to.tonic - from.tonic;
  const root = chordIn(to, chord.root + by, chord.quality.suffix);
  return chord.bass === null ? root : { ...root, bass: chord.bass + root.root - chord.root };
}

function rewritesOf(devices: readonly DeviceName[], site: Site): readonly Rewrite[] {
  return devices.flatMap((name) => deviceByName(name).propose(site));
}

/** Looks for the wanted bars among the rewrites in the example's own key and in the eleven others. */
function expectInEveryKey(
  devices: readonly DeviceName[],
  keyText: string,
  before: string,
  after: string,
  next: string | null,
): void {
  const key = keyNamed(keyText);
  const written = changesOf(before, METER);
  const wanted = changesOf(after, METER);
  const follows = next === null ? null : chordNamed(next);
  for (const by of FIFTHS) {
    const to = movedKey(key, by);
    const site = siteOfChanges(
      to,
      movedChanges(written, key, to),
      follows === null ? null : movedChord(follows, key, to),
      METER,
    );
    const target = movedChanges(wanted, key, to);
    const rewrites = rewritesOf(devices, site);
    expect(
      find(rewrites, target),
      `wanted ${wordsOf(target)} among\n${rewrites.map((r) => `${r.device} ${r.variant}: ${wordsOf(r.changes)}`).join('\n')}`,
    ).toBeDefined();
  }
}

test('the handbook table is whole: 25 devices and 177 worked examples', () => {
  expect(reference.rows.map((row) => row.id).sort()).toEqual(Object.keys(OURS).sort());
  expect(reference.rows.flatMap((row) => row.examples)).toHaveLength(177);
});

describe.each(reference.rows)('$id: $name', (row) => {
  test.each(
    row.examples.map((example) => ({
      example,
      title: `${example.key}: ${barText(example.before)} becomes ${barText(example.after)}`,
    })),
  )('$title', ({ example }) => {
    expectInEveryKey(
      OURS[row.id] ?? [],
      example.key,
      barText(example.before),
      barText(example.after),
      example.next_chord ?? null,
    );
  });
});

describe('secondary dominants', () => {
  /** Scale degrees of the targets in major, with their chords. `vii` is reached as a half-diminished. */
  const TARGETS: Readonly<Record<string, readonly [number, string]>> = {
    ii: [2, 'm7'],
    iii: [4, 'm7'],
    IV: [-1, 'maj7'],
    V: [1, '7'],
    vi: [3, 'm7'],
    'vii (or V over its third)': [5, 'm7b5'],
  };

  test.each(reference.secondary_dominant_table)(
    '$target is led into by $in_c in C, $in_bb in Bb and $in_e in E',
    (row) => {
      const [up, suffix] = TARGETS[row.target] ?? [0, ''];
      for (const [keyText, dominant] of [
        ['C major', row.in_c],
        ['Bb major', row.in_bb],
        ['E major', row.in_e],
      ] as const) {
        const key = keyNamed(keyText);
        const home = chordIn(key, key.tonic, 'maj7');
        const held: Change = { at: 0, length: 2 * 3840, harmony: home };
        const next = chordIn(key, key.tonic + up, suffix);
        const site = siteOfChanges(key, [held], next, METER);
        const written = deviceByName('lead-in-dominant')
          .propose(site)
          .flatMap((rewrite) => rewrite.changes)
          .map((change) => (change.harmony.kind === 'chord' ? change.harmony : home));
        const wanted = chordNamed(dominant);
        expect(
          written.some((chord) => chord.root === wanted.root && chord.quality === wanted.quality),
        ).toBe(true);
      }
    },
  );
});

describe('modal interchange', () => {
  test.each(reference.modal_interchange_chords)(
    '$numeral is borrowed over home: $in_c in C, $in_f in F, $in_bb in Bb',
    (row) => {
      for (const [keyText, borrowed] of [
        ['C major', row.in_c],
        ['F major', row.in_f],
        ['Bb major', row.in_bb],
      ] as const) {
        const key = keyNamed(keyText);
        const home = chordIn(key, key.tonic, 'maj7');
        const site = siteOfChanges(key, [{ at: 0, length: 2 * 3840, harmony: home }], null, METER);
        const wanted = chordNamed(borrowed);
        const found = DEVICES.flatMap((device) => device.propose(site)).some((rewrite) =>
          rewrite.changes.some(
            ({ harmony }) =>
              harmony.kind === 'chord' &&
              semitonesUp(harmony.root, wanted.root) === 0 &&
              harmony.quality === wanted.quality,
          ),
        );
        expect(found, `${borrowed} in ${keyText}`).toBe(true);
      }
    },
  );
});

describe('turnarounds', () => {
  test.each(reference.turnarounds)('$name leads home over two bars and over four', (row) => {
    for (const [keyText, home, bars] of [
      ['C major', 'Cmaj7', row.in_c],
      ['F major', 'Fmaj7', row.in_f],
      ['Bb major', 'Bbmaj7', row.in_bb],
    ] as const) {
      expectInEveryKey(['turnaround'], keyText, `| ${home} | ${home} |`, barText(bars), home);
    }
    const four = '| Cmaj7 | Cmaj7 | Cmaj7 | Cmaj7 |';
    expectInEveryKey(['turnaround'], 'C major', four, barText(row.four_bar_form_in_c), 'Cmaj7');
  });

  test.each(reference.turnarounds_by_arrival)(
    'the one that arrives on $first_chord_of_next_section is proposed before it',
    (row) => {
      expectInEveryKey(
        ['turnaround'],
        'C major',
        '| Cmaj7 | Cmaj7 |',
        barText(row.in_c),
        row.arrives_on_in_c,
      );
    },
  );
});
