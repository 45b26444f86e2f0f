import { glyphName } from '../../shared-core/chord/format.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type {
  ChartOptions,
  SetlistEntryRow,
  SetlistRecord,
  SetlistRow,
} from '../../shared-core/contract/types.ts';
import { USUAL_TEMPO } from '../../shared-core/performance/stage.ts';
import { keyName } from '../../shared-core/pitch/key.ts';
import { asClock } from '../../shared-core/setlist/duration.ts';
import { layOutSet, type PlacedEntry, type SetEntry } from '../../shared-core/setlist/lay-out.ts';
import { meterName } from '../../shared-core/time/meter.ts';
import type { StoredSetlist } from '../library/setlists.ts';
import { currentBand } from './band.ts';
import { chartInput } from './charts.ts';
import { type AppContext, type OpenArrangement, openArrangement } from './context.ts';
import { answerOf, failure, success } from './failures.ts';
import { MEDIA_TYPES, safeName } from './files.ts';
import type { JobStep } from './jobs.ts';
import type { SheetInput, Works } from './works.ts';

/** A set list with its arrangements open. */
interface OpenSetlist {
  readonly stored: StoredSetlist;
  readonly open: readonly OpenArrangement[];
  readonly placed: readonly PlacedEntry[];
  readonly seconds: number;
}

/** Set lists, newest first. */
export function listSetlists(context: AppContext, binned: boolean): Answer<readonly SetlistRow[]> {
  const rows: SetlistRow[] = [];
  for (const stored of context.library.setlists.list(binned)) {
    const set = openEntries(context, stored);
    if (!set.ok) return set;
    const { id, name, createdAt, changedAt, binnedAt } = stored;
    const entries = stored.entries.length;
    rows.push({ id, name, entries, seconds: set.value.seconds, createdAt, changedAt, binnedAt });
  }
  return success(rows);
}

/** One set list with what its sheet says. */
export function getSetlist(context: AppContext, id: string): Answer<SetlistRecord> {
  const set = openSetlist(context, id);
  if (!set.ok) return set;
  const { stored, seconds } = set.value;
  const entries = stored.entries.map((_, index) => rowOf(context, set.value, index));
  return success({ id, name: stored.name, entries, seconds });
}

/** Keeps a set list. */
export function saveSetlist(
  context: AppContext,
  id: string | null,
  name: string,
  entries: StoredSetlist['entries'],
): Answer<{ readonly id: string }> {
  const saved = answerOf(context.library.setlists.save(id, name, entries));
  return saved.ok ? success({ id: saved.value }) : saved;
}

/** Starts making the set sheet and one book a chair; answers the job. */
export function startSetlistExport(
  context: AppContext,
  id: string,
  options: ChartOptions,
): Answer<{ readonly job: string }> {
  const set = openSetlist(context, id);
  if (!set.ok) return set;
  if (set.value.open.length === 0) {
    return failure('setlist/empty', `${set.value.stored.name} has no tunes; add some first.`);
  }
  const job = context.jobs.start(setlistSteps(context, set.value, options));
  return job.ok ? success({ job: job.value }) : job;
}

function setlistSteps(
  context: AppContext,
  set: OpenSetlist,
  options: ChartOptions,
): readonly JobStep[] {
  const stem = safeName(set.stored.name);
  const sheet = sheetOf(context, set);
  const books = currentBand(context.library).chairs.map((chair) => ({
    words: `${chair.name}: book`,
    run: async () => {
      const works: Works = await context.works();
      const inputs = set.open.map((open) => chartInput(context, open, chair, options));
      const bytes = await works.bookPdf(`${set.stored.name}, ${chair.name}`, inputs);
      const name = `${stem} - book - ${safeName(chair.name)}.pdf`;
      return [{ name, type: MEDIA_TYPES.pdf, bytes }];
    },
  }));
  const sheets = {
    words: 'Set sheet',
    run: async () => {
      const works = await context.works();
      const bytes = await works.sheetPdf(sheet, options.paper ?? 'a4');
      const text = new TextEncoder().encode(sheetText(context, set, sheet));
      return [
        { name: `${stem} - set sheet.pdf`, type: MEDIA_TYPES.pdf, bytes },
        { name: `${stem} - set sheet.txt`, type: MEDIA_TYPES.text, bytes: text },
      ];
    },
  };
  return [sheets, ...books];
}

function sheetOf(context: AppContext, set: OpenSetlist): SheetInput {
  const lines = set.stored.entries.map((_, index) => {
    const row = rowOf(context, set, index);
    const facts = [printedKey(set.open[index]), String(row.tempo), row.feel];
    return {
      number: String(index + 1),
      title: row.title,
      facts: facts.filter((fact) => fact !== null).join(', '),
      clock: asClock(row.seconds),
      note: row.note,
    };
  });
  return { title: set.stored.name, lines, total: asClock(set.seconds) };
}

/** The key with its real accidental, as it is printed. */
function printedKey(open: OpenArrangement | undefined): string | null {
  if (!open) return null;
  const { tonic, mode } = open.known.analysis.key;
  return `${glyphName(tonic)} ${mode}`;
}

/** The set sheet as plain text, for whoever has no printer: with what the printed one has no room for. */
function sheetText(context: AppContext, set: OpenSetlist, sheet: SheetInput): string {
  const lines = sheet.lines.flatMap((line, index) => {
    const { meter, choruses, startsAt, flow, remarks } = rowOf(context, set, index);
    const times = `${meter}, ${choruses === 1 ? '1 chorus' : `${choruses} choruses`}, at ${asClock(startsAt)}`;
    const more = [flow, line.note, ...remarks].filter((words) => words !== null);
    return [
      `${line.number.padStart(2)}. ${line.title}  ${line.clock}`,
      `    ${line.facts}, ${times}`,
      ...more.map((words) => `    ${words}`),
    ];
  });
  return `${[sheet.title, '', ...lines, '', `In all ${sheet.total}`].join('\n')}\n`;
}

function openSetlist(context: AppContext, id: string): Answer<OpenSetlist> {
  const stored = answerOf(context.library.setlists.get(id));
  return stored.ok ? openEntries(context, stored.value) : stored;
}

function openEntries(context: AppContext, stored: StoredSetlist): Answer<OpenSetlist> {
  const open: OpenArrangement[] = [];
  for (const entry of stored.entries) {
    const one = openArrangement(context, entry.arrangementId);
    if (!one.ok) return one;
    open.push(one.value);
  }
  const set = layOutSet(open.map((one, index) => setEntry(one, stored.entries[index]?.pause ?? 0)));
  return success({ stored, open, placed: set.entries, seconds: set.seconds });
}

function setEntry({ known, state }: OpenArrangement, pause: number): SetEntry {
  const written = state.head.tempo ?? known.tune.tempo;
  return {
    key: known.analysis.key,
    meter: known.tune.meter,
    tempo: written ?? USUAL_TEMPO,
    tempoGiven: written !== null,
    feel: state.head.feel ?? known.tune.feel,
    choruses: Object.keys(state.choruses).length,
    chorusLength: known.analysis.chorus.length,
    pause,
  };
}

function rowOf(context: AppContext, set: OpenSetlist, index: number): SetlistEntryRow {
  const [open, placed, input] = [set.open[index], set.placed[index], set.stored.entries[index]];
  if (!open || !placed || !input) throw new RangeError(`A set list has no entry ${index}`);
  const entry = setEntry(open, input.pause);
  return {
    ...input,
    tuneId: open.stored.tuneId,
    title: open.known.tune.title,
    arrangementName: open.stored.name,
    key: keyName(entry.key),
    meter: meterName(entry.meter),
    tempo: entry.tempo,
    feel: entry.feel,
    choruses: entry.choruses,
    seconds: placed.seconds,
    startsAt: placed.startsAt,
    flow: placed.flow,
    remarks: [...binRemarks(context, open), ...placed.remarks],
  };
}

function binRemarks(context: AppContext, open: OpenArrangement): readonly string[] {
  const { id, tuneId } = open.stored;
  const binned =
    context.library.tunes.row(tuneId)?.binnedAt != null ||
    context.library.arrangements.list(tuneId, true).some((row) => row.id === id);
  return binned ? ['lies in the bin'] : [];
}
