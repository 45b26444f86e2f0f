/**
 * Who may know of whom. This is the one place it is written down.
 *
 * Layers stand from the bottom up. A file may import its own folder and any layer below; folders in
 * the same layer do not know of each other. `.` stands for the files lying in the top folder itself.
 */
export interface Layering {
  /** The top folder these layers are in. */
  readonly top: string;
  readonly layers: readonly (readonly string[])[];
}

export const LAYERINGS: readonly Layering[] = [
  {
    top: 'shared-core',
    layers: [
      ['.'],
      ['pitch', 'time'],
      ['chord'],
      // A voicing is chord tones laid out; proposals cost their voice leading with it.
      ['voicing'],
      ['tune'],
      ['analysis'],
      ['devices'],
      ['proposals'],
      ['arrangement'],
      ['line', 'bass'],
      ['parts'],
      ['notation', 'performance', 'setlist'],
      ['contract'],
    ],
  },
  {
    top: 'main',
    layers: [
      ['.', 'setup'],
      ['library', 'interchange', 'print'],
      ['app'],
      ['host-electron', 'host-loopback', 'cli'],
    ],
  },
];

/** For each top folder, the other top folders its files may import. */
export const TOPS: Readonly<Record<string, readonly string[]>> = {
  'shared-core': [],
  main: ['shared-core'],
  renderer: ['shared-core'],
  tests: ['shared-core', 'main', 'renderer'],
};

/**
 * Packages the engine may import: the contract's schemas and the bytes of a MIDI file. Both only turn
 * values into values.
 */
export const ENGINE_PACKAGES: readonly string[] = ['zod', 'midi-file'];

/** Packages only the shell may import; the window runs in a page and has none of these. */
export const SHELL_PACKAGES: readonly string[] = ['electron', 'better-sqlite3', 'pdfkit'];

/**
 * Names the engine may not use, because an answer would depend on more than what was asked:
 * clock, chance, the host's language, or anything the host adds. That it sees nothing of Node or the
 * DOM at all is held by its tsconfig.json, which offers the compiler neither.
 */
export const IMPURE_NAMES: readonly string[] = ['Date', 'Intl', 'globalThis', 'Math.random'];
