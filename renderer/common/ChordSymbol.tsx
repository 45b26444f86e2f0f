import { memo, type ReactNode } from 'react';
import { type HarmonyRun, layoutHarmony } from '../../shared-core/chord/format.ts';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { type ChordView, useChordView } from './chord-view.ts';

/**
 * A chord symbol set like print: the root large, its accidental a real sign, the quality smaller on the
 * line, alterations raised in one bracket, the bass after a slash. `size` is the root's type size in px of
 * a usual screen; `condense` narrows the letters where there is no room (see `set-along.ts`).
 */
export const ChordSymbol = memo(function ChordSymbol({
  harmony,
  size,
  condense = 1,
}: {
  readonly harmony: Harmony;
  readonly size: number;
  readonly condense?: number;
}) {
  const view = useChordView();
  const fontSize = `${size / 16}rem`;
  return (
    <span
      className="chord"
      style={condense === 1 ? { fontSize } : { fontSize, transform: `scaleX(${condense})` }}
    >
      {rendered(runsOf(harmony, view))}
    </span>
  );
});

const layouts = new WeakMap<
  Harmony,
  { readonly view: ChordView; readonly runs: readonly HarmonyRun[] }
>();

function runsOf(harmony: Harmony, view: ChordView): readonly HarmonyRun[] {
  const known = layouts.get(harmony);
  if (known && known.view === view) return known.runs;
  const runs = layoutHarmony(view.read(harmony), view.style);
  layouts.set(harmony, { view, runs });
  return runs;
}

/** The raised alterations stand together in one bracket, where the first of them stands. */
function rendered(runs: readonly HarmonyRun[]): ReactNode[] {
  const raised = runs.filter((run) => run.kind === 'raised');
  const nodes: ReactNode[] = [];
  runs.forEach((run, index) => {
    if (run.kind !== 'raised') nodes.push(oneRun(run, index));
    else if (run === raised[0]) {
      nodes.push(
        <span key="raised" className="chord-raised">
          ({raised.map((alteration) => alteration.text).join(' ')})
        </span>,
      );
    }
  });
  return nodes;
}

/** Signs of the trade and where the music font keeps them (SMuFL, chord symbols). */
const MUSIC_SIGNS: Readonly<Record<string, string>> = { '△': '\uE873', ø: '\uE871', '°': '\uE870' };

function oneRun(run: HarmonyRun, key: number): ReactNode {
  const text = run.text.replaceAll('𝄫', '♭♭');
  const pieces = text.split(/([△ø°])/u).filter((piece) => piece !== '');
  return (
    <span key={key} className={`chord-${run.kind}`}>
      {pieces.map((piece, index) => {
        const sign = MUSIC_SIGNS[piece];
        return sign ? (
          // biome-ignore lint/suspicious/noArrayIndexKey: pieces of one symbol never move
          <span key={index} className="chord-sign">
            {sign}
          </span>
        ) : (
          piece
        );
      })}
    </span>
  );
}

/** Widths in parts of the root's size, measured on the two type faces; generous by a few hundredths. */
const RUN_WIDTHS: Readonly<Record<HarmonyRun['kind'], number>> = {
  root: 0.66,
  'root-accidental': 0.36,
  quality: 0.41,
  raised: 0.3,
  extra: 0.34,
  slash: 0.36,
  bass: 0.56,
  'bass-accidental': 0.3,
  bracket: 0.3,
  none: 0.55,
};

function runsWidth(runs: readonly HarmonyRun[]): number {
  let width = 0;
  let raised = 0;
  for (const run of runs) {
    width += RUN_WIDTHS[run.kind] * [...run.text].length;
    if (run.kind === 'raised') raised += 1;
  }
  return raised > 0 ? width + 0.35 + raised * 0.08 : width;
}

/** Width a symbol takes at a size, px of this screen; an estimate from above. */
export function symbolWidth(harmony: Harmony, view: ChordView, size: number): number {
  return runsWidth(runsOf(harmony, view)) * size * view.scale;
}
