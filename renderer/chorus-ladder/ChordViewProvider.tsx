import { type ReactNode, useMemo } from 'react';
import type { Chair } from '../../shared-core/arrangement/band.ts';
import type { ChordStyle } from '../../shared-core/chord/model.ts';
import { writtenHarmony } from '../../shared-core/chord/transpose.ts';
import { respellSpelled } from '../../shared-core/pitch/copyist.ts';
import {
  instrumentById,
  isInstrument,
  writtenInterval,
  writtenKey,
} from '../../shared-core/pitch/instruments.ts';
import type { Key } from '../../shared-core/pitch/key.ts';
import { useSettings } from '../app/settings.ts';
import { useBand } from '../band/band-store.ts';
import { type ChordView, ChordViewContext, CONCERT } from '../common/chord-view.ts';
import { useScale } from '../common/scale.ts';

/** Lets everything below read chords in the person's spelling habit and for the chair they chose. */
export function ChordViewProvider({
  musicKey,
  children,
}: {
  readonly musicKey: Key;
  readonly children: ReactNode;
}) {
  const style = useSettings((settings) => settings.chordStyle);
  const chairId = useSettings((settings) => settings.chair);
  const chair = useBand((store) => store.band?.chairs.find((one) => one.id === chairId) ?? null);
  const scale = useScale();
  const view = useMemo(
    () => ({ ...viewFor(style, chair, musicKey), scale }),
    [style, chair, musicKey, scale],
  );
  return <ChordViewContext value={view}>{children}</ChordViewContext>;
}

/** The chord view of a chair for a tune in `concert`; without a chair, concert pitch. */
export function viewFor(style: ChordStyle, chair: Chair | null, concert: Key): ChordView {
  if (!chair || !isInstrument(chair.instrument)) return { ...CONCERT, style };
  const instrument = instrumentById(chair.instrument);
  const key = writtenKey(concert, instrument, chair.keys);
  const by = writtenInterval(instrument, concert, key);
  if (by.fifths === 0) return { ...CONCERT, style, chairName: chair.name };
  return {
    ...CONCERT,
    style,
    chairName: chair.name,
    read: (harmony) => writtenHarmony(harmony, instrument, concert, key),
    readKey: (other) => ({ ...other, tonic: other.tonic + by.fifths }),
    readNote: (note) => respellSpelled(note + by.fifths, key),
  };
}
