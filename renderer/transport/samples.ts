/** One sampled instrument that ships as files: where they lie and which notes there are. */
export interface SampledInstrument {
  /** Folder under `samples/`, where the host serves the package of that name. */
  readonly folder: string;
  /** File names without ending; `s` is a sharp: `Cs3.mp3` is C sharp 3. */
  readonly notes: readonly string[];
  /** Recorded loudness differs; dB that bring it to the level of the others. */
  readonly gain: number;
  /** Seconds a note rings on after it is let go. */
  readonly release: number;
}

const GUITAR: SampledInstrument = {
  folder: 'guitar-electric',
  notes: [
    ...['E2', 'Fs2', 'A2', 'C3', 'Ds3', 'Fs3', 'A3', 'C4', 'Ds4'],
    ...['Fs4', 'A4', 'C5', 'Ds5', 'Fs5', 'A5', 'C6'],
  ],
  gain: -2,
  release: 0.25,
};
const BASS: SampledInstrument = {
  folder: 'contrabass',
  notes: ['Fs1', 'G1', 'As1', 'C2', 'D2', 'E2', 'Fs2', 'Gs2', 'A2', 'Cs3', 'E3', 'Gs3', 'B3'],
  gain: 0,
  release: 0.15,
};
const PIANO: SampledInstrument = {
  folder: 'piano',
  // A third apart: the piano's full set would be four times the bytes for no audible gain.
  notes: [
    ...['C2', 'E2', 'Gs2', 'C3', 'E3', 'Gs3', 'C4', 'E4', 'Gs4'],
    ...['C5', 'E5', 'Gs5', 'C6', 'E6'],
  ],
  gain: -4,
  release: 0.35,
};
const SAXOPHONE: SampledInstrument = {
  folder: 'saxophone',
  notes: ['Cs3', 'E3', 'G3', 'As3', 'Cs4', 'E4', 'G4', 'As4', 'Cs5', 'E5', 'G5', 'A5'],
  gain: -6,
  release: 0.12,
};
const TRUMPET: SampledInstrument = {
  folder: 'trumpet',
  notes: ['C3', 'F3', 'A3', 'As3', 'Ds4', 'F4', 'G4', 'D5', 'F5', 'A5', 'C6'],
  gain: -9,
  release: 0.12,
};

/** Every sampled instrument of the program. */
export const SAMPLED_INSTRUMENTS: readonly SampledInstrument[] = [
  GUITAR,
  BASS,
  PIANO,
  SAXOPHONE,
  TRUMPET,
];

/**
 * The samples that come nearest to a General MIDI program (0-127). Families of General MIDI 1: pianos
 * 0-7, guitars 24-31, basses 32-39, brass 56-63, reeds 64-71, pipes 72-79. Chairs without samples of
 * their own sound on the nearest kin: flutes on the saxophone's, voices and vibraphone on the piano's.
 */
export function samplesFor(program: number): SampledInstrument {
  if (program >= 24 && program <= 31) return GUITAR;
  if (program >= 32 && program <= 39) return BASS;
  if (program >= 56 && program <= 63) return TRUMPET;
  if (program >= 64 && program <= 79) return SAXOPHONE;
  return PIANO;
}

/** Note names to addresses, in the form the sampler takes: `{'C#3': 'Cs3.mp3'}`. */
export function sampleFiles(instrument: SampledInstrument): Readonly<Record<string, string>> {
  return Object.fromEntries(
    instrument.notes.map((note) => [note.replace('s', '#'), `${note}.mp3`]),
  );
}
