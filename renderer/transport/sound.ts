import { Context } from 'tone/build/esm/core/context/Context.js';
import type { ToneAudioBuffer } from 'tone/build/esm/core/context/ToneAudioBuffer.js';
import { ToneAudioBuffers } from 'tone/build/esm/core/context/ToneAudioBuffers.js';
import { setContext } from 'tone/build/esm/core/Global.js';
import { Frequency } from 'tone/build/esm/core/type/Frequency.js';
import { Sampler } from 'tone/build/esm/instrument/Sampler.js';
import type { PerformedNote, PerformedTrack } from '../../shared-core/performance/model.ts';
import { brushKit } from './brush-kit.ts';
import { type SampledInstrument, sampleFiles, samplesFor } from './samples.ts';

/** Where the host serves the sample packages. */
const SAMPLES = new URL('samples/', document.baseURI).href;

/** Seconds until the first note once the sound was opened: time to hand the notes over. */
const OPENS_IN = 0.08;
/** Time constant of the fade when everything falls silent, in seconds: short, but without a click. */
const FADE = 0.015;

/** The recorded notes of an instrument, by their names. */
type Samples = Readonly<Record<string, ToneAudioBuffer>>;

/** One chair that can sound. */
type Voice = (note: PerformedNote, at: number, seconds: number) => void;

/**
 * The sound of the band: one sampler a chair, on one audio clock. Recordings are loaded once and shared.
 * Every run has a bus and voices of its own: a sampler cannot be told to let go of notes it was given with
 * their ends, so what was handed over fades with its bus and is never heard again.
 */
export class Sound {
  /** Timeout clock: the library's own worker is made from text, which the content policy refuses. */
  readonly #tone = new Context({
    clockSource: 'timeout',
    lookAhead: 0,
    latencyHint: 'interactive',
  });
  /** By the folder of the instrument. */
  readonly #samples = new Map<string, Samples>();
  readonly #peaks: AudioNode;
  #bus: GainNode;
  readonly #voices = new Map<string, Voice>();

  constructor() {
    setContext(this.#tone);
    const peaks = this.#context.createDynamicsCompressor();
    peaks.threshold.value = -12;
    peaks.ratio.value = 3;
    peaks.connect(this.#context.destination);
    this.#peaks = peaks;
    this.#bus = this.#newBus();
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
    const instruments = new Set(
      tracks.flatMap(({ program }) => (program === null ? [] : [samplesFor(program)])),
    );
    await Promise.all([...instruments].map((instrument) => this.#fetch(instrument)));
  }

  async #fetch(instrument: SampledInstrument): Promise<void> {
    if (this.#samples.has(instrument.folder)) return;
    this.#samples.set(instrument.folder, await load(instrument));
  }

  /** Sounds one note at a second of the audio clock. What it sounds on must have been prepared. */
  play(track: PerformedTrack, note: PerformedNote, at: number, seconds: number): void {
    const key = voiceKey(track);
    const voice = this.#voices.get(key) ?? this.#newVoice(track);
    this.#voices.set(key, voice);
    voice(note, at, seconds);
  }

  /** Opens the sound for a run and says from which second of the audio clock notes may come. */
  wake(): number {
    this.#bus = this.#newBus();
    this.#voices.clear();
    return this.now + OPENS_IN;
  }

  /** Lets every note go, those that were handed over for later too. */
  hush(): void {
    this.#bus.gain.setTargetAtTime(0, this.now, FADE);
  }

  #newBus(): GainNode {
    const bus = this.#context.createGain();
    bus.connect(this.#peaks);
    return bus;
  }

  #newVoice({ program }: PerformedTrack): Voice {
    const out = this.#context.createGain();
    out.connect(this.#bus);
    if (program === null) {
      const kit = brushKit(this.#context, out);
      return (note, at) => kit.hit(note.midi, at, note.velocity);
    }
    const instrument = samplesFor(program);
    const samples = this.#samples.get(instrument.folder);
    if (!samples) throw new Error(`The sounds of ${instrument.folder} were not prepared`);
    out.gain.value = 10 ** (instrument.gain / 20);
    const sampler = new Sampler({ urls: samples, release: instrument.release });
    sampler.connect(out);
    return (note, at, seconds) => {
      const frequency = Frequency(note.midi, 'midi').toFrequency();
      sampler.triggerAttackRelease(frequency, seconds, at, (note.velocity / 127) ** 1.5);
    };
  }
}

/** Chairs of one instrument do not share a sampler: letting one chair's note go must not cut another's. */
function voiceKey(track: PerformedTrack): string {
  return `${track.chair} ${track.program ?? 'drums'}`;
}

function load(instrument: SampledInstrument): Promise<Samples> {
  return new Promise((resolve, reject) => {
    const files = sampleFiles(instrument);
    const buffers = new ToneAudioBuffers({
      urls: files,
      baseUrl: `${SAMPLES}${instrument.folder}/`,
      onload: () =>
        resolve(Object.fromEntries(Object.keys(files).map((name) => [name, buffers.get(name)]))),
      onerror: (error) =>
        reject(new Error(`The sounds of ${instrument.folder} did not load: ${error.message}`)),
    });
  });
}
