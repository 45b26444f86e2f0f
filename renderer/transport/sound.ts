import { Context } from 'tone/build/esm/core/context/Context.js';
import { setContext } from 'tone/build/esm/core/Global.js';
import { Frequency } from 'tone/build/esm/core/type/Frequency.js';
import { Sampler } from 'tone/build/esm/instrument/Sampler.js';
import type { PerformedNote, PerformedTrack } from '../../shared-core/performance/model.ts';
import { type BrushKit, brushKit } from './brush-kit.ts';
import { type SampledInstrument, sampleFiles, samplesFor } from './samples.ts';

/** Where the host serves the sample packages. */
const SAMPLES = new URL('samples/', document.baseURI).href;

/** One chair that can sound. */
interface Voice {
  readonly out: GainNode;
  play(note: PerformedNote, at: number, seconds: number): void;
  hush(): void;
}

/**
 * The sound of the band: one sampler a chair, on one audio clock. Chairs are set up when a performance
 * is prepared and kept for the next one.
 */
export class Sound {
  /** Timeout clock: the library's own worker is made from text, which the content policy refuses. */
  readonly #tone = new Context({
    clockSource: 'timeout',
    lookAhead: 0,
    latencyHint: 'interactive',
  });
  readonly #voices = new Map<string, Voice>();
  readonly #bus: GainNode;
  #quietUntil = 0;

  constructor() {
    setContext(this.#tone);
    const context = this.#context;
    const peaks = context.createDynamicsCompressor();
    peaks.threshold.value = -12;
    peaks.ratio.value = 3;
    this.#bus = context.createGain();
    this.#bus.connect(peaks).connect(context.destination);
  }

  get #context(): AudioContext {
    // The standard context under the library's wrapper has all that is asked of it here.
    return this.#tone.rawContext as unknown as AudioContext;
  }

  /** Seconds of the audio clock. */
  get now(): number {
    return this.#context.currentTime;
  }

  /** Wakes the audio device and loads what these tracks sound on. Rejects with the address that failed. */
  async prepare(tracks: readonly PerformedTrack[]): Promise<void> {
    await this.#context.resume();
    await Promise.all(tracks.map((track) => this.#voiceOf(track)));
  }

  async #voiceOf(track: PerformedTrack): Promise<void> {
    const key = voiceKey(track);
    if (this.#voices.has(key)) return;
    const out = this.#context.createGain();
    out.connect(this.#bus);
    if (track.program === null) {
      this.#voices.set(key, drumVoice(out, brushKit(this.#context, out)));
      return;
    }
    const instrument = samplesFor(track.program);
    out.gain.value = 10 ** (instrument.gain / 20);
    this.#voices.set(key, samplerVoice(out, await load(instrument)));
  }

  /** Sounds one note at a second of the audio clock. */
  play(track: PerformedTrack, note: PerformedNote, at: number, seconds: number): void {
    this.#voices.get(voiceKey(track))?.play(note, at, seconds);
  }

  /** Opens the sound and says from which second of the audio clock notes may come. */
  wake(): number {
    const at = Math.max(this.now + 0.08, this.#quietUntil);
    this.#bus.gain.cancelScheduledValues(at - 0.01);
    this.#bus.gain.setValueAtTime(1, at - 0.01);
    return at;
  }

  /** Lets every note go. Notes already handed over stay unheard; the sound opens again after them. */
  hush(): void {
    this.#bus.gain.setTargetAtTime(0, this.now, 0.015);
    for (const voice of this.#voices.values()) voice.hush();
    this.#quietUntil = this.now + 0.3;
  }
}

/** Chairs of one instrument do not share a sampler: letting one chair's note go must not cut another's. */
function voiceKey(track: PerformedTrack): string {
  return `${track.chair} ${track.program ?? 'drums'}`;
}

function drumVoice(out: GainNode, kit: BrushKit): Voice {
  return {
    out,
    play: (note, at) => kit.hit(note.midi, at, note.velocity),
    hush: () => {},
  };
}

function samplerVoice(out: GainNode, sampler: Sampler): Voice {
  sampler.connect(out);
  return {
    out,
    play(note, at, seconds) {
      const frequency = Frequency(note.midi, 'midi').toFrequency();
      sampler.triggerAttackRelease(frequency, seconds, at, (note.velocity / 127) ** 1.5);
    },
    hush: () => sampler.releaseAll(),
  };
}

function load(instrument: SampledInstrument): Promise<Sampler> {
  return new Promise((resolve, reject) => {
    const sampler = new Sampler({
      urls: sampleFiles(instrument),
      baseUrl: `${SAMPLES}${instrument.folder}/`,
      release: instrument.release,
      onload: () => resolve(sampler),
      onerror: (error) =>
        reject(new Error(`The sounds of ${instrument.folder} did not load: ${error.message}`)),
    });
  });
}
