import { useMemo } from 'react';
import type { ChartOptions } from '../../shared-core/contract/index.ts';
import { useSettings } from '../app/settings.ts';

/** How charts are set in this window: for the preview, the export and the books alike. */
export function useChartOptions(): ChartOptions {
  const { chordStyle, paper, largePrint, layout, voicings, walkingLine, soloLine, soloLineSeed } =
    useSettings();
  return useMemo(
    () => ({
      style: chordStyle,
      paper,
      large: largePrint,
      layout,
      voicings,
      walkingLine,
      ...(soloLine === null ? {} : { exampleLine: { degree: soloLine, seed: soloLineSeed } }),
    }),
    [chordStyle, paper, largePrint, layout, voicings, walkingLine, soloLine, soloLineSeed],
  );
}
