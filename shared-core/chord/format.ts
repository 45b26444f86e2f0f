import { alterOf, letterOf, nameOf, type Spelled } from '../pitch/spelled.ts';
import type { Chord, ChordQuality, ChordStyle, Harmony } from './model.ts';
import { type SuffixParts, suffixParts, wordHead } from './suffix.ts';

/** How to write a chord symbol. */
export interface FormatOptions {
  /** `words`: `maj7` `m7b5` `dim7`; `signs`: triangle, dash, slashed circle, circle, plus. */
  readonly style: ChordStyle;
  /** `ascii`: `b` and `#`; `glyph`: the flat and sharp signs. */
  readonly accidentals: 'ascii' | 'glyph';
}

/** One piece of a printed chord symbol. */
export interface HarmonyRun {
  /**
   * `root`, `root-accidental`, `quality` (what stands on the line), `raised` (alterations, smaller and
   * higher), `extra` (suspension, added and left-out notes), `slash`, `bass`, `bass-accidental`,
   * `bracket`, or `none` for N.C.
   */
  readonly kind:
    | 'root'
    | 'root-accidental'
    | 'quality'
    | 'raised'
    | 'extra'
    | 'slash'
    | 'bass'
    | 'bass-accidental'
    | 'bracket'
    | 'none';
  /** Text with real accidental signs. */
  readonly text: string;
}

const NO_CHORD_TEXT = 'N.C.';

/** Signs of the second spelling habit; no two differ by letter case alone. */
const SIGN = { m: '−', dim: '°', aug: '+', 'half-dim': 'ø', '': '', major: '△' } as const;

/**
 * The canonical symbol in plain ASCII words: what is stored and sent. Reading it back gives the same
 * harmony.
 *
 * @example symbolOf(chord(-2, 'maj7')) // 'Bbmaj7'
 * @example symbolOf(NO_CHORD) // 'N.C.'
 */
export function symbolOf(harmony: Harmony): string {
  if (harmony.kind === 'none') return NO_CHORD_TEXT;
  const bass = harmony.bass === null ? '' : `/${nameOf(harmony.bass)}`;
  const text = nameOf(harmony.root) + harmony.quality.suffix + bass;
  return harmony.optional ? `(${text})` : text;
}

/**
 * Writes a harmony in either habit of print. The bass comes after everything else, and every form can
 * be read back.
 *
 * @example formatHarmony(chord(6, 'm7b5'), {style: 'signs', accidentals: 'glyph'}) // 'F♯ø7'
 */
export function formatHarmony(harmony: Harmony, options: FormatOptions): string {
  if (harmony.kind === 'none') return NO_CHORD_TEXT;
  const note = options.accidentals === 'glyph' ? glyphName : nameOf;
  const suffix = suffixText(harmony.quality, options);
  const bass = harmony.bass === null ? '' : `/${note(harmony.bass)}`;
  const text = note(harmony.root) + suffix + bass;
  return harmony.optional ? `(${text})` : text;
}

/** The suffix alone: `m7b5`, `ø7`. */
export function suffixText(quality: ChordQuality, options: FormatOptions): string {
  const text = options.style === 'words' ? quality.suffix : signSuffix(suffixParts(quality.mask));
  return options.accidentals === 'glyph' ? withGlyphs(text) : text;
}

/** Name of a note with real accidental signs: `E♭`, `F♯`, `B𝄫`. */
export function glyphName(pc: Spelled): string {
  return letterOf(pc) + accidentalGlyph(pc);
}

function accidentalGlyph(pc: Spelled): string {
  const alter = alterOf(pc);
  if (alter === 2) return '𝄪';
  if (alter === -2) return '𝄫';
  return alter < 0 ? '♭'.repeat(-alter) : '♯'.repeat(alter);
}

/** Accidentals as signs: in a suffix they always stand right before a figure, and no letter does. */
function withGlyphs(text: string): string {
  return text.replace(/b(?=\d)/g, '♭').replace(/#(?=\d)/g, '♯');
}

function signHead(parts: SuffixParts): string {
  const figure = parts.alt ? '7alt' : parts.number;
  return SIGN[parts.triad] + (parts.majorSeventh ? SIGN.major : '') + figure;
}

/** Alterations that the sign of the chord does not say already: a slashed circle has its flat five. */
function signAlterations(parts: SuffixParts): readonly string[] {
  if (parts.triad !== 'half-dim') return parts.alterations;
  return parts.alterations.filter((name) => name !== 'b5');
}

function signSuffix(parts: SuffixParts): string {
  const altered = signAlterations(parts);
  const raised = altered.length === 0 ? '' : `(${altered.join('')})`;
  const added = parts.additions.join('').replace('Maj7', '△7');
  return signHead(parts) + raised + parts.suspension + added + parts.omissions.join('');
}

/**
 * A harmony taken apart for print, left to right: root and its accidental, the quality on the line,
 * alterations raised (one run each, to be stacked or set in one bracket), then suspensions and added
 * notes, and the bass after its slash last of all, so that an alteration is never taken for the bass.
 *
 * @example layoutHarmony(chord(1, '7b9#11', 5), 'words').map((run) => run.text)
 * // ['G', '7', '♭9', '♯11', '/', 'B']
 */
export function layoutHarmony(harmony: Harmony, style: ChordStyle): readonly HarmonyRun[] {
  if (harmony.kind === 'none') return [{ kind: 'none', text: NO_CHORD_TEXT }];
  const runs = [...noteRuns(harmony.root, 'root'), ...qualityRuns(harmony, style)];
  if (harmony.bass !== null) {
    runs.push({ kind: 'slash', text: '/' }, ...noteRuns(harmony.bass, 'bass'));
  }
  if (!harmony.optional) return runs;
  return [{ kind: 'bracket', text: '(' }, ...runs, { kind: 'bracket', text: ')' }];
}

function noteRuns(pc: Spelled, kind: 'root' | 'bass'): HarmonyRun[] {
  const runs: HarmonyRun[] = [{ kind, text: letterOf(pc) }];
  const mark = accidentalGlyph(pc);
  if (mark !== '') runs.push({ kind: `${kind}-accidental`, text: mark });
  return runs;
}

function qualityRuns(harmony: Chord, style: ChordStyle): HarmonyRun[] {
  const parts = suffixParts(harmony.quality.mask);
  const head = style === 'words' ? wordHead(parts) : signHead(parts);
  const altered = style === 'words' ? parts.alterations : signAlterations(parts);
  const extras = [parts.suspension, ...parts.additions, ...parts.omissions];
  const runs: HarmonyRun[] = [];
  if (head !== '') runs.push({ kind: 'quality', text: head });
  for (const name of altered) runs.push({ kind: 'raised', text: withGlyphs(name) });
  for (const name of extras) {
    if (name !== '') runs.push({ kind: 'extra', text: withGlyphs(name) });
  }
  return runs;
}
