import type { Key } from '../../../shared-core/pitch/key.ts';
import { type Draft, type DraftBar, draftBar, emptyDraft } from '../draft.ts';
import { Refusal } from '../errors.ts';
import { finishTune, type ImportedTune } from '../finish.ts';
import { settleCodas } from '../signs.ts';
import { countedTempo, type PartReading, readPart } from './measures.ts';
import { type Score, scoreOf } from './score.ts';
import { child, childrenOf, parseXml, textOf, type Xml } from './tree.ts';

/**
 * Reads a MusicXML score as a tune: chords from the part that has most of them, melody from the same part
 * or, where that has none, from the first part with notes. Everything comes out at concert pitch.
 */
export function readMusicXml(text: string): ImportedTune {
  const score = scoreOf(parseXml(text));
  const draft = emptyDraft();
  const readings = score.parts.map((part) => readPart(part.measures, draft.warnings));
  const chords = [...readings].sort((a, b) => b.harmonies - a.harmonies)[0];
  if (!chords)
    throw new Refusal('import/no-bars', 'it has no parts. Choose a score that holds a tune.');
  const melody = chords.pitchedNotes > 0 ? chords : readings.find((part) => part.pitchedNotes > 0);
  draft.bars.push(...combine(chords, melody ?? chords, readings));
  settleCodas(draft.bars);
  readHead(draft, score, chords, readings);
  return finishTune(draft);
}

/** Chords and melody in one row of bars; signs of the form from any part. */
function combine(
  chords: PartReading,
  melody: PartReading,
  all: readonly PartReading[],
): DraftBar[] {
  return chords.bars.map((bar, i) => {
    const longest = Math.max(bar.length, melody.bars[i]?.length ?? 0);
    const lengths = bar.harmony.length > 0 || bar.notes.length > 0 ? bar.length : longest;
    const whole = draftBar(
      bar.meter,
      melody.bars[i]?.notes.length ? (melody.bars[i]?.length ?? lengths) : lengths,
    );
    whole.harmony.push(...bar.harmony);
    whole.notes.push(...(melody.bars[i]?.notes ?? []));
    for (const { bars } of all) {
      const other = bars[i];
      if (!other) continue;
      whole.label ??= other.label;
      whole.repeatStart ||= other.repeatStart;
      whole.repeatEnd = Math.max(whole.repeatEnd, other.repeatEnd);
      if (whole.endings.length === 0) whole.endings = other.endings;
      for (const mark of other.marks) whole.marks.add(mark);
      if (!whole.jump || whole.jump.al === 'end') whole.jump = other.jump ?? whole.jump;
    }
    return whole;
  });
}

function readHead(
  draft: Draft,
  { root }: Score,
  chords: PartReading,
  all: readonly PartReading[],
): void {
  const titles = childrenOf(root, 'credit')
    .filter((credit) => textOf(credit, 'credit-type') === 'title')
    .map((credit) => textOf(credit, 'credit-words'));
  const work = textOf(child(root, 'work'), 'work-title');
  draft.title = textOf(root, 'movement-title') || work || titles[0] || null;
  draft.credit = creditOf(child(root, 'identification'));
  draft.key = keyOf(chords, draft.bars);
  if (chords.keyChanges > 0) {
    draft.warnings.add('The key signature changes; only the first one was taken.');
  }
  const quarters = all.map((part) => part.quarters).find((tempo) => tempo !== null) ?? null;
  const meter = draft.bars[0]?.meter;
  draft.tempo = meter ? countedTempo(quarters, meter) : null;
  draft.feel = all.map((part) => part.words).find((words) => words !== null) ?? null;
}

function creditOf(identification: Xml | undefined): string | null {
  const creators = childrenOf(identification, 'creator').filter(({ text }) => text.trim() !== '');
  const composer = creators.find(({ attributes }) => attributes.type === 'composer') ?? creators[0];
  return composer?.text.trim() ?? null;
}

/** Fifths from the signature to the tonic, and the nearer of the two modes of a chart. */
const MODES: Readonly<Record<string, readonly [number, Key['mode']]>> = {
  major: [0, 'major'],
  ionian: [0, 'major'],
  lydian: [-1, 'major'],
  mixolydian: [1, 'major'],
  minor: [3, 'minor'],
  aeolian: [3, 'minor'],
  dorian: [2, 'minor'],
  phrygian: [4, 'minor'],
  locrian: [5, 'minor'],
};

/** The key at concert pitch. Where no mode is written, a last chord on the relative minor decides. */
function keyOf(part: PartReading, bars: readonly DraftBar[]): Key | null {
  if (part.fifths === null) return null;
  const signature = part.fifths + part.toConcert.fifths;
  const written = MODES[part.mode.toLowerCase()];
  if (written) return { tonic: signature + written[0], mode: written[1] };
  const last = bars.flatMap((bar) => bar.harmony).at(-1)?.harmony;
  const isMinor =
    last?.kind === 'chord' && last.quality.family === 'minor' && last.root === signature + 3;
  return isMinor ? { tonic: signature + 3, mode: 'minor' } : { tonic: signature, mode: 'major' };
}
