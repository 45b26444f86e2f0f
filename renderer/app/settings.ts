import { create } from 'zustand';
import { persist } from 'zustand/middleware';
import type { ChordStyle } from '../../shared-core/chord/model.ts';
import type { LineDegree } from '../../shared-core/line/model.ts';

/** How this window looks and reads: the person's own habits, not the library's. */
export interface Settings {
  /** `system` follows the machine. */
  readonly theme: 'light' | 'dim' | 'system';
  readonly chordStyle: ChordStyle;
  /** Chair whose transposition the ladder is read in; null is concert. */
  readonly chair: string | null;
  /** Width of a quarter note on the ruler, px; null fits the changes. */
  readonly quarterWidth: number | null;
  readonly countIn: boolean;
  /** Written lines at concert pitch instead of as their player reads them. */
  readonly lineConcert: boolean;
  readonly paper: 'a4' | 'letter';
  /** Charts at 130 %. */
  readonly largePrint: boolean;
  /** How choruses are folded on charts. */
  readonly layout: 'auto' | 'compact' | 'written-out';
  /** Chord shapes on guitar charts, voicings on keyboard charts. */
  readonly voicings: boolean;
  /** A written line on bass charts. */
  readonly walkingLine: boolean;
  /** How busy the lines written out for soloists are; null writes guide tones. */
  readonly soloLine: LineDegree | null;
  /** Which of the lines there are: another number, another line. */
  readonly soloLineSeed: number;
}

/** Changes some settings; they stay on this machine. */
interface SettingsStore extends Settings {
  set(change: Partial<Settings>): void;
}

/** The settings of this window. */
export const useSettings = create<SettingsStore>()(
  persist(
    (set) => ({
      theme: 'system',
      chordStyle: 'words',
      chair: null,
      quarterWidth: null,
      countIn: true,
      lineConcert: false,
      paper: 'a4',
      largePrint: false,
      layout: 'auto',
      voicings: false,
      walkingLine: false,
      soloLine: null,
      soloLineSeed: 1,
      set: (change) => set(change),
    }),
    { name: 'changewright-settings' },
  ),
);
