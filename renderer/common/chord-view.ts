import { createContext, useContext } from 'react';
import type { ChordStyle, Harmony } from '../../shared-core/chord/model.ts';
import type { Key } from '../../shared-core/pitch/key.ts';
import type { Spelled } from '../../shared-core/pitch/spelled.ts';

/** How chord symbols are read in this window: spelling habit, and the chair they are transposed for. */
export interface ChordView {
  readonly style: ChordStyle;
  /** How much larger than usual type is set, see `scale.ts`. */
  readonly scale: number;
  /** Name of the chair it is read for; null at concert pitch. */
  readonly chairName: string | null;
  /** Changes what is shown, never what is kept: concert harmony in, this chair's harmony out. */
  readonly read: (harmony: Harmony) => Harmony;
  readonly readKey: (key: Key) => Key;
  readonly readNote: (note: Spelled) => Spelled;
}

/** Concert pitch in words. */
export const CONCERT: ChordView = {
  style: 'words',
  scale: 1,
  chairName: null,
  read: (harmony) => harmony,
  readKey: (key) => key,
  readNote: (note) => note,
};

export const ChordViewContext = createContext<ChordView>(CONCERT);

/** The chord view above this component. */
export function useChordView(): ChordView {
  return useContext(ChordViewContext);
}
