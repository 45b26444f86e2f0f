import { useMemo, useSyncExternalStore } from 'react';
import type { Chorus } from '../../shared-core/tune/model.ts';
import { useSettings } from '../app/settings.ts';
import { symbolWidth } from '../common/ChordSymbol.tsx';
import { useChordView } from '../common/chord-view.ts';
import { fitLadder } from './fit.ts';
import { type Ruler, rulerOf } from './ruler.ts';
import { WRITTEN_SIZE } from './WrittenRow.tsx';

/** What stands around the ladder, px of a usual screen; see ladder.css. */
const ROW_HEAD = { wide: 128, narrow: 80 } as const;
const BENCH = 376;
const OVER_AND_UNDER = 164;

/** At this width of the window, px, the bench goes under the ladder; see ladder.css. */
const NARROW = 960;

/** Room left of the last bar so that its line is seen. */
const EDGE = 4;

/** The ruler of a tune in this window; the same object until the window, the tune or the chair changes. */
export function useRuler(chorus: Chorus): Ruler {
  const chosen = useSettings((settings) => settings.quarterWidth);
  const view = useChordView();
  const width = useSyncExternalStore(onResize, () => innerWidth);
  const height = useSyncExternalStore(onResize, () => innerHeight);
  return useMemo(() => {
    const narrow = width <= NARROW;
    const besides = narrow ? ROW_HEAD.narrow : ROW_HEAD.wide + BENCH;
    const room = {
      width: width / view.scale - besides - EDGE,
      height: height / view.scale - OVER_AND_UNDER,
    };
    const fit = fitLadder(
      chorus,
      room,
      (event) => symbolWidth(event.harmony, view, WRITTEN_SIZE) / view.scale + 12,
    );
    return rulerOf(chorus.length, { ...fit, quarter: chosen ?? fit.quarter }, view.scale);
  }, [chorus, chosen, view, width, height]);
}

function onResize(listener: () => void): () => void {
  addEventListener('resize', listener);
  return () => removeEventListener('resize', listener);
}
