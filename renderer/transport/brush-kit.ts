/**
 * A drum set played with brushes, made from noise and two oscillators on the audio clock. Answers to the
 * percussion keys of General MIDI 1; keys it has no sound for play the brush tap.
 */
export interface BrushKit {
  /** Sounds `midi` at second `at` with `velocity` 1-127. */
  hit(midi: number, at: number, velocity: number): void;
}

interface Shape {
  /** Band of noise: centre and width. */
  readonly centre: number;
  readonly width: number;
  readonly attack: number;
  readonly decay: number;
  readonly level: number;
}

const TAP: Shape = { centre: 2400, width: 0.7, attack: 0.002, decay: 0.09, level: 0.5 };
const SWISH: Shape = { centre: 3800, width: 0.9, attack: 0.07, decay: 0.22, level: 0.22 };
const FOOT: Shape = { centre: 8200, width: 1.4, attack: 0.001, decay: 0.045, level: 0.28 };
const OPEN: Shape = { centre: 8200, width: 1.1, attack: 0.001, decay: 0.28, level: 0.2 };
const RIDE: Shape = { centre: 6400, width: 2.2, attack: 0.001, decay: 0.5, level: 0.2 };
const STICK: Shape = { centre: 1700, width: 4, attack: 0.001, decay: 0.03, level: 0.9 };

/** General MIDI 1 percussion key map (from memory). */
const SHAPES: ReadonlyMap<number, Shape> = new Map([
  [37, STICK],
  [38, TAP],
  [39, SWISH],
  [40, SWISH],
  [42, FOOT],
  [44, FOOT],
  [46, OPEN],
  [49, OPEN],
  [51, RIDE],
  [53, RIDE],
  [57, OPEN],
  [59, RIDE],
  [75, STICK],
  [76, STICK],
  [77, STICK],
]);
const KICKS: ReadonlySet<number> = new Set([35, 36]);

/** Sets the kit up on an audio context; everything sounds into `out`. */
export function brushKit(context: BaseAudioContext, out: AudioNode): BrushKit {
  const noise = noiseOf(context, 1.5);
  return {
    hit(midi, at, velocity) {
      const force = 1.6 * (velocity / 127) ** 1.3;
      if (KICKS.has(midi)) kick(context, out, at, force);
      else brush(context, out, noise, SHAPES.get(midi) ?? TAP, at, force);
      if (midi === 51 || midi === 59) ring(context, out, at, force);
    },
  };
}

function noiseOf(context: BaseAudioContext, seconds: number): AudioBuffer {
  const frames = Math.ceil(context.sampleRate * seconds);
  const buffer = context.createBuffer(1, frames, context.sampleRate);
  const data = buffer.getChannelData(0);
  // A linear congruential generator: the same noise every time, so that a rendering can be compared.
  let seed = 22222;
  for (let frame = 0; frame < frames; frame++) {
    seed = (seed * 1664525 + 1013904223) >>> 0;
    data[frame] = seed / 0x80000000 - 1;
  }
  return buffer;
}

function brush(
  context: BaseAudioContext,
  out: AudioNode,
  noise: AudioBuffer,
  shape: Shape,
  at: number,
  force: number,
): void {
  const source = context.createBufferSource();
  source.buffer = noise;
  const filter = context.createBiquadFilter();
  filter.type = 'bandpass';
  filter.frequency.value = shape.centre;
  filter.Q.value = shape.width;
  const gain = envelope(context, at, shape.attack, shape.decay, shape.level * force);
  source.connect(filter).connect(gain).connect(out);
  // Another stretch of the noise each time: two equal taps in a row sound like a machine.
  source.start(at, (at * 7.31) % 0.7);
  source.stop(at + shape.attack + shape.decay * 3);
}

function kick(context: BaseAudioContext, out: AudioNode, at: number, force: number): void {
  const oscillator = context.createOscillator();
  oscillator.frequency.setValueAtTime(96, at);
  oscillator.frequency.exponentialRampToValueAtTime(48, at + 0.09);
  const gain = envelope(context, at, 0.004, 0.16, 0.5 * force);
  oscillator.connect(gain).connect(out);
  oscillator.start(at);
  oscillator.stop(at + 0.5);
}

/** The cymbal's own pitch under its noise. */
function ring(context: BaseAudioContext, out: AudioNode, at: number, force: number): void {
  for (const [frequency, level] of [
    [3127, 0.03],
    [4883, 0.02],
  ] as const) {
    const oscillator = context.createOscillator();
    oscillator.frequency.value = frequency;
    const gain = envelope(context, at, 0.001, 0.3, level * force);
    oscillator.connect(gain).connect(out);
    oscillator.start(at);
    oscillator.stop(at + 0.95);
  }
}

function envelope(
  context: BaseAudioContext,
  at: number,
  attack: number,
  decay: number,
  level: number,
): GainNode {
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, at);
  gain.gain.linearRampToValueAtTime(level, at + attack);
  gain.gain.setTargetAtTime(0, at + attack, decay / 2);
  return gain;
}
