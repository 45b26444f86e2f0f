import { type HarmonyRun, layoutHarmony } from '../../shared-core/chord/format.ts';
import type { ChordStyle, Harmony } from '../../shared-core/chord/model.ts';
import { canDraw, moved, setSymbol } from './fonts.ts';
import type { Face, TextItem } from './scene.ts';

/** How large and heavy a chord symbol is set. Points. */
export interface ChordLook {
  readonly face: Face;
  readonly root: number;
  /** Quality, alterations and bass. */
  readonly small: number;
}

/** A chord symbol set from x = 0 on the baseline y = 0. */
export interface SetChord {
  readonly label: string;
  readonly items: readonly TextItem[];
  readonly width: number;
}

/**
 * Sets a chord symbol like print: root large, quality smaller on the same baseline, alterations raised
 * beside the quality, the bass after its slash last of all, lowered a little, so that an alteration
 * can never be read as belonging to the bass. A sign the fonts lack is spelled out: see {@link drawableRuns}.
 *
 * @param draws whether the fonts have a character
 */
export function setChord(
  harmony: Harmony,
  style: ChordStyle,
  look: ChordLook,
  draws: (face: Face, character: string) => boolean = canDraw,
): SetChord {
  const items: TextItem[] = [];
  const runs = drawableRuns(harmony, style, (character) => draws(look.face, character));
  let x = 0;
  let before: HarmonyRun['kind'] | null = null;
  for (const run of runs) {
    x += gapBefore(run.kind, before, look);
    const set = setSymbol(look.face, sizeOf(run.kind, look), run.text);
    items.push(...moved(set.items, x, -liftOf(run.kind, look)));
    x += set.width;
    before = run.kind;
  }
  return { label: runs.map((run) => run.text).join(''), items, width: x };
}

/** Plain letters for signs. A double sharp is two of them, as in tune text. */
const PLAIN: Readonly<Record<string, string>> = {
  '♭': 'b',
  '♯': '#',
  '𝄫': 'bb',
  '𝄪': '##',
};

/**
 * The runs of a symbol in signs the fonts have: where they lack one of a style's, the words stand for it
 * (maj7, m7♭5, dim7); where they lack an accidental, its letter does (b, #). So nothing is left out, and text
 * copied out of the PDF still tells flat from sharp.
 */
function drawableRuns(
  harmony: Harmony,
  style: ChordStyle,
  draws: (character: string) => boolean,
): readonly HarmonyRun[] {
  const whole = (runs: readonly HarmonyRun[]): boolean =>
    runs.every(({ text }) => [...text].every((sign) => draws(sign) || PLAIN[sign] !== undefined));
  const wished = layoutHarmony(harmony, style);
  const runs = whole(wished) ? wished : layoutHarmony(harmony, 'words');
  return runs.map((run) => ({
    ...run,
    text: [...run.text].map((sign) => (draws(sign) ? sign : (PLAIN[sign] ?? sign))).join(''),
  }));
}

function sizeOf(kind: HarmonyRun['kind'], look: ChordLook): number {
  return kind === 'root' || kind === 'root-accidental' || kind === 'none' || kind === 'bracket'
    ? look.root
    : look.small;
}

function liftOf(kind: HarmonyRun['kind'], look: ChordLook): number {
  if (kind === 'raised') return look.root * 0.26;
  if (kind === 'slash' || kind === 'bass' || kind === 'bass-accidental') return -look.root * 0.1;
  return 0;
}

function gapBefore(
  kind: HarmonyRun['kind'],
  before: HarmonyRun['kind'] | null,
  look: ChordLook,
): number {
  if (before === null) return 0;
  if (kind === 'raised') return look.small * 0.06;
  if (kind === 'quality' && before === 'root') return look.small * 0.03;
  if (kind === 'extra') return before === 'root-accidental' ? 0 : look.small * 0.04;
  return 0;
}
