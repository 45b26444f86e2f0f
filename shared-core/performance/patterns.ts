import { beatsPerBar, isCompound, type Meter, strongBeats } from '../time/meter.ts';
import type { FeelName } from '../tune/feel.ts';

/** A comping hit: place and length in parts of a beat ({@link partsOfBeat}) from the bar line. */
export interface Hit {
  readonly at: number;
  readonly length: number;
}

const hit = (at: number, length: number): Hit => ({ at, length });

/** Parts a beat has in patterns: three in compound meters, else two. */
export function partsOfBeat(meter: Meter): 2 | 3 {
  return isCompound(meter) ? 3 : 2;
}

/**
 * Comping rhythms of one bar by feel and beats a bar, sparse to busy. They leave the last off-beat free:
 * a chord arrives early only where the chart says so. Common practice, no source; composed for this program.
 */
const COMPING: Readonly<Record<string, readonly (readonly Hit[])[]>> = {
  'swing 4': [
    [hit(3, 2)],
    [hit(0, 3), hit(3, 2)],
    [hit(2, 1), hit(5, 2)],
    [hit(1, 2), hit(4, 2)],
    [hit(0, 1), hit(5, 2)],
    [hit(0, 3), hit(3, 2), hit(6, 1)],
    [hit(1, 1), hit(3, 1), hit(5, 2)],
  ],
  'shuffle 4': [
    [hit(2, 1), hit(6, 1)],
    [hit(0, 2), hit(3, 1)],
    [hit(2, 1), hit(5, 1), hit(6, 1)],
  ],
  'ballad 4': [[hit(0, 7)], [hit(0, 4), hit(4, 4)], [hit(0, 3), hit(4, 3)]],
  'bossa 4': [
    [hit(0, 3), hit(3, 3), hit(6, 2)],
    [hit(0, 2), hit(3, 2), hit(5, 2)],
    [hit(1, 2), hit(4, 2), hit(6, 2)],
  ],
  'straight 4': [
    [hit(0, 4), hit(5, 2)],
    [hit(0, 3), hit(3, 3)],
    [hit(0, 2), hit(3, 1), hit(4, 3)],
  ],
  'any 2': [[hit(1, 2)], [hit(0, 2), hit(2, 1)], [hit(0, 1), hit(1, 2)]],
  'any 3': [[hit(0, 3)], [hit(3, 2)], [hit(0, 3), hit(3, 2)], [hit(2, 2), hit(4, 1)]],
  'any 4': [
    [hit(0, 3), hit(4, 3)],
    [hit(0, 3), hit(3, 2)],
    [hit(2, 1), hit(6, 1)],
  ],
  'any 5': [
    [hit(0, 5), hit(6, 3)],
    [hit(3, 2), hit(6, 2)],
    [hit(0, 3), hit(3, 2), hit(6, 2)],
  ],
  'any 6': [
    [hit(0, 5), hit(6, 5)],
    [hit(3, 2), hit(9, 2)],
    [hit(0, 3), hit(3, 2), hit(6, 3), hit(9, 2)],
  ],
  'any 7': [
    [hit(0, 7), hit(8, 5)],
    [hit(3, 2), hit(8, 3), hit(11, 2)],
    [hit(0, 3), hit(3, 2), hit(8, 3), hit(11, 2)],
  ],
  'compound 2': [[hit(0, 5)], [hit(0, 2), hit(3, 2)], [hit(2, 1), hit(3, 2)]],
  'compound 3': [
    [hit(0, 5), hit(6, 2)],
    [hit(2, 1), hit(3, 3)],
    [hit(0, 2), hit(3, 2), hit(6, 2)],
  ],
  'compound 4': [
    [hit(0, 5), hit(6, 5)],
    [hit(3, 2), hit(9, 2)],
    [hit(0, 2), hit(5, 1), hit(6, 3)],
    [hit(2, 1), hit(3, 2), hit(8, 1), hit(9, 2)],
  ],
};

/** Comping rhythms for a feel and meter, sparse to busy; rare meters are marked on their strong beats. */
export function compingPatterns(feel: FeelName, meter: Meter): readonly (readonly Hit[])[] {
  const beats = beatsPerBar(meter);
  const own = COMPING[`${feelIn(meter, feel)} ${beats}`] ?? COMPING[`any ${beats}`];
  if (own) return own;
  const strong = strongBeats(meter);
  const parts = partsOfBeat(meter);
  return [
    strong.map((beat, index) =>
      hit(beat * parts, ((strong[index + 1] ?? beats) - beat) * parts - 1),
    ),
  ];
}

/** The feel of a bar whose meter may differ from the tune's: compound bars are felt in three, and no others. */
function feelIn(meter: Meter, feel: FeelName): FeelName {
  if (isCompound(meter)) return 'compound';
  return feel === 'compound' ? 'straight' : feel;
}

/** Drum voices, as General MIDI level 1 percussion keys (tests/reference/midi.json). */
export const KIT = {
  kick: 36,
  stick: 37,
  snare: 38,
  pedalHat: 44,
  closedHat: 42,
  ride: 51,
  crash: 49,
} as const;

/** A stroke of the drummer: place in parts of a beat ({@link partsOfBeat}), key and loudness. */
export interface Stroke {
  readonly at: number;
  readonly key: number;
  readonly velocity: number;
}

/** Bars after which the figures of the drums come round: all of them take one, two or four. */
export const FIGURES = 4;

/**
 * Strokes of the feel's time in one bar. The skip beat of the ride comes and goes and figures of two bars
 * alternate by the bar's index, so that neighbours differ.
 */
export function drumStrokes(feel: FeelName, meter: Meter, bar: number): Stroke[] {
  const beats = beatsPerBar(meter);
  switch (feelIn(meter, feel)) {
    case 'bossa':
      return beats === 4 ? bossa(bar) : straight(meter, bar);
    case 'straight':
      return straight(meter, bar);
    case 'ballad':
      return [...timekeeping(beats, bar % 2 === 1, 38, bar), ...offBeats(beats, 34)];
    case 'shuffle':
      return [
        ...shuffled(beats),
        ...offBeats(beats, 50),
        ...backbeat(beats),
        ...feathered(beats),
        ...pickups(bar, beats * 2 - 1),
      ];
    case 'compound':
      return [...compound(beats), ...pickups(bar, beats * 3 - 1)];
    default:
      return [...timekeeping(beats, true, 58, bar), ...offBeats(beats, 46), ...feathered(beats)];
  }
}

/** Ride on every beat, with the skip beat before every other one; every fourth bar leaves its last one out. */
function timekeeping(beats: number, skip: boolean, velocity: number, bar = 0): Stroke[] {
  const left = bar % 4 === 2 ? beats - (beats % 2) - 1 : -1;
  const strokes: Stroke[] = [];
  for (let beat = 0; beat < beats; beat++) {
    const weak = beats === 3 ? beat === 1 : beat % 2 === 1;
    strokes.push({ at: beat * 2, key: KIT.ride, velocity: velocity + (weak ? 8 : 0) });
    if (skip && weak && beat !== left)
      strokes.push({ at: beat * 2 + 1, key: KIT.ride, velocity: velocity - 12 });
  }
  return strokes;
}

/** Hi-hat with the foot: two and four, or two (and three) of a waltz. */
function offBeats(beats: number, velocity: number): Stroke[] {
  const on =
    beats === 3
      ? [1, 2]
      : Array.from({ length: beats }, (_, beat) => beat).filter((beat) => beat % 2 === 1);
  return on.map((beat) => ({ at: beat * 2, key: KIT.pedalHat, velocity }));
}

/** The bass drum barely touched on every beat. */
function feathered(beats: number): Stroke[] {
  return Array.from({ length: beats }, (_, beat) => ({
    at: beat * 2,
    key: KIT.kick,
    velocity: beat === 0 ? 34 : 26,
  }));
}

function shuffled(beats: number): Stroke[] {
  return Array.from({ length: beats * 2 }, (_, at) => ({
    at,
    key: KIT.ride,
    velocity: at % 2 === 0 ? 62 : 48,
  }));
}

/** A touch of the snare before the bar line, every other bar. */
function pickups(bar: number, at: number): Stroke[] {
  return bar % 2 === 1 ? [{ at, key: KIT.snare, velocity: 36 }] : [];
}

function backbeat(beats: number): Stroke[] {
  return Array.from({ length: beats }, (_, beat) => beat)
    .filter((beat) => beat % 2 === 1)
    .map((beat) => ({ at: beat * 2, key: KIT.snare, velocity: 56 }));
}

/** Two-bar cross-stick figure over steady eighths. */
function bossa(bar: number): Stroke[] {
  const stick = bar % 2 === 0 ? [0, 3, 6] : [2, 5];
  return [
    ...Array.from({ length: 8 }, (_, at) => ({
      at,
      key: KIT.closedHat,
      velocity: at % 2 === 0 ? 46 : 36,
    })),
    ...stick.map((at) => ({ at, key: KIT.stick, velocity: 54 })),
    ...[0, 3, 4, 7].map((at) => ({ at, key: KIT.kick, velocity: at % 4 === 0 ? 50 : 40 })),
  ];
}

/**
 * Even eighths on the hi-hat; bass drum where a group of beats begins (3+2 in five, 4+3 in seven) and once
 * between the beats, at another place every other bar; snare on two and four, or on the last beat of a group
 * of three.
 */
function straight(meter: Meter, bar: number): Stroke[] {
  const beats = beatsPerBar(meter);
  const groups = strongBeats(meter);
  const hat = Array.from({ length: beats * 2 }, (_, at) => ({
    at,
    key: KIT.closedHat,
    velocity: at % 2 === 0 ? 48 : 36,
  }));
  const drums = groups.flatMap((from, index) => {
    const until = groups[index + 1] ?? beats;
    const size = until - from;
    const snares = Array.from({ length: size }, (_, beat) => beat).filter((beat) =>
      size === 3 ? beat === 2 : beat % 2 === 1,
    );
    return [
      { at: from * 2, key: KIT.kick, velocity: index === 0 ? 56 : 46 },
      ...snares.map((beat) => ({ at: (from + beat) * 2, key: KIT.snare, velocity: 56 })),
    ];
  });
  const between = bar % 2 === 0 ? beats * 2 - 3 : beats === 3 ? 1 : 3;
  const push = beats < 3 && bar % 2 === 0 ? [] : [{ at: between, key: KIT.kick, velocity: 42 }];
  return [...hat, ...drums, ...push];
}

/** Thirds of the dotted beat; here `at` counts thirds. */
function compound(beats: number): Stroke[] {
  return [
    ...Array.from({ length: beats * 3 }, (_, at) => ({
      at,
      key: KIT.ride,
      velocity: at % 3 === 0 ? 54 : 40,
    })),
    ...Array.from({ length: beats }, (_, beat) => beat)
      .filter((beat) => beat % 2 === 1)
      .map((beat) => ({ at: beat * 3, key: KIT.snare, velocity: 48 })),
    { at: 0, key: KIT.kick, velocity: 52 },
  ];
}
