import { glyphName } from '../../shared-core/chord/format.ts';
import type { Answer, ContractError } from '../../shared-core/contract/errors.ts';
import type {
  ChartOptions,
  SetlistEntryRow,
  SetlistFacts,
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

/** An entry of a set list: its arrangement open and its place in the set, or why it cannot be opened. */
type OpenEntry =
  | { readonly ok: true; readonly open: OpenArrangement; readonly placed: PlacedEntry }
  | { readonly ok: false; readonly problem: string };

/** A set list with its arrangements open. */
interface OpenSetlist {
  readonly stored: StoredSetlist;
  readonly entries: readonly OpenEntry[];
  readonly seconds: number;
}

/** A set list of which every entry can be read. */
interface WholeSetlist extends OpenSetlist {
  readonly entries: readonly Extract<OpenEntry, { readonly ok: true }>[];
}

/** Set lists, newest first. One tune that cannot be read keeps no set from being listed. */
export function listSetlists(context: AppContext, binned: boolean): readonly SetlistRow[] {
  return context.library.setlists.list(binned).map((stored) => {
    const { entries, seconds } = openEntries(context, stored);
    const { id, name, createdAt, changedAt, binnedAt } = stored;
    const unreadable = entries.filter(({ ok }) => !ok).length;
    return {
      id,
      name,
      entries: entries.length,
      seconds,
      unreadable,
      createdAt,
      changedAt,
      binnedAt,
    };
  });
}

/** One set list with what its sheet says. */
export function getSetlist(context: AppContext, id: string): Answer<SetlistRecord> {
  const set = openSetlist(context, id);
  if (!set.ok) return set;
  const { stored, seconds } = set.value;
  let startsAt = 0;
  const entries = stored.entries.map((input, index): SetlistEntryRow => {
    const entry = set.value.entries[index];
    if (!entry?.ok) {
      const row = namesOf(context, input.arrangementId);
      return { ...input, ...row, facts: null, problem: entry?.problem ?? null, startsAt };
    }
    startsAt = entry.placed.startsAt + entry.placed.seconds + input.pause;
    return { ...input, ...rowOf(context, entry, input.pause) };
  });
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
  const { stored } = set.value;
  if (stored.entries.length === 0) {
    return failure('setlist/empty', `${stored.name} has no tunes; add some first.`);
  }
  const whole = wholeSet(context, set.value);
  if (!whole.ok) return whole;
  const job = context.jobs.start(setlistSteps(context, whole.value, options));
  return job.ok ? success({ job: job.value }) : job;
}

/** The set where every entry can be read. Error: `setlist/entry` with the first that cannot. */
function wholeSet(context: AppContext, set: OpenSetlist): Answer<WholeSetlist> {
  const entries: Extract<OpenEntry, { readonly ok: true }>[] = [];
  for (const [index, entry] of set.entries.entries()) {
    if (!entry.ok) {
      const { title } = namesOf(context, set.stored.entries[index]?.arrangementId ?? '');
      const message = `Number ${index + 1}, ${title}, cannot be printed. ${entry.problem}`;
      return failure('setlist/entry', message, { place: { field: `entries.${index}` } });
    }
    entries.push(entry);
  }
  return success({ ...set, entries });
}

function setlistSteps(
  context: AppContext,
  set: WholeSetlist,
  options: ChartOptions,
): readonly JobStep[] {
  const stem = safeName(set.stored.name);
  const sheet = sheetOf(context, set);
  const books = currentBand(context.library).chairs.map((chair) => ({
    words: `${chair.name}: book`,
    run: async () => {
      const works: Works = await context.works();
      const inputs = set.entries.map(({ open }) => chartInput(context, open, chair, options));
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

function sheetOf(context: AppContext, set: WholeSetlist): SheetInput {
  const lines = set.entries.map((entry, index) => {
    const { title, facts } = rowOf(context, entry, 0);
    const words = [printedKey(entry.open), String(facts.tempo), facts.feel];
    return {
      number: String(index + 1),
      title,
      facts: words.filter((word) => word !== null).join(', '),
      clock: asClock(facts.seconds),
      note: set.stored.entries[index]?.note ?? null,
    };
  });
  return { title: set.stored.name, lines, total: asClock(set.seconds) };
}

/** The key with its real accidental, as it is printed. */
function printedKey({ known }: OpenArrangement): string {
  const { tonic, mode } = known.analysis.key;
  return `${glyphName(tonic)} ${mode}`;
}

/** The set sheet as plain text, for whoever has no printer: with what the printed one has no room for. */
function sheetText(context: AppContext, set: WholeSetlist, sheet: SheetInput): string {
  const lines = set.entries.flatMap((entry, index) => {
    const line = sheet.lines[index];
    const { startsAt, facts } = rowOf(context, entry, 0);
    const { meter, choruses, flow, remarks } = facts;
    const times = `${meter}, ${choruses === 1 ? '1 chorus' : `${choruses} choruses`}, at ${asClock(startsAt)}`;
    const more = [flow, line?.note ?? null, ...remarks].filter((words) => words !== null);
    return [
      `${line?.number.padStart(2)}. ${line?.title}  ${line?.clock}`,
      `    ${line?.facts}, ${times}`,
      ...more.map((words) => `    ${words}`),
    ];
  });
  return `${[sheet.title, '', ...lines, '', `In all ${sheet.total}`].join('\n')}\n`;
}

function openSetlist(context: AppContext, id: string): Answer<OpenSetlist> {
  const stored = answerOf(context.library.setlists.get(id));
  return stored.ok ? success(openEntries(context, stored.value)) : stored;
}

/** Opens what can be opened, and lays that out in its order. */
function openEntries(context: AppContext, stored: StoredSetlist): OpenSetlist {
  const asked = stored.entries.map(({ arrangementId, pause }) => ({
    answer: openArrangement(context, arrangementId),
    pause,
  }));
  const readable = asked.flatMap(({ answer, pause }) =>
    answer.ok ? [setEntry(answer.value, pause)] : [],
  );
  const set = layOutSet(readable);
  let next = 0;
  const entries = asked.map(({ answer }): OpenEntry => {
    if (!answer.ok) return { ok: false, problem: problemWords(answer.error) };
    const placed = set.entries[next++];
    if (!placed) throw new RangeError(`A set of ${readable.length} was laid out without ${next}`);
    return { ok: true, open: answer.value, placed };
  });
  return { stored, entries, seconds: set.seconds };
}

function problemWords({ code, message }: ContractError): string {
  return code.startsWith('tune/')
    ? `Its tune cannot be read: ${message} Open its text and mend it there.`
    : `It cannot be opened: ${message}`;
}

/** What an arrangement is called, whether it can be opened or not. */
function namesOf(
  { library }: AppContext,
  id: string,
): Pick<SetlistEntryRow, 'tuneId' | 'title' | 'arrangementName'> {
  const rows = [
    ...library.arrangements.list(null, false),
    ...library.arrangements.list(null, true),
  ];
  const row = rows.find((one) => one.id === id);
  // A set list holds on to its arrangements: the library refuses to let one go.
  if (!row) throw new RangeError(`A set list has the arrangement ${id}, which is not there`);
  return { tuneId: row.tuneId, title: row.tuneTitle, arrangementName: row.name };
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

/** What an entry says of itself. */
function rowOf(
  context: AppContext,
  { open, placed }: Extract<OpenEntry, { readonly ok: true }>,
  pause: number,
) {
  const entry = setEntry(open, pause);
  const facts: SetlistFacts = {
    key: keyName(entry.key),
    meter: meterName(entry.meter),
    tempo: entry.tempo,
    feel: entry.feel,
    choruses: entry.choruses,
    seconds: placed.seconds,
    flow: placed.flow,
    remarks: [...binRemarks(context, open), ...placed.remarks],
  };
  return {
    tuneId: open.stored.tuneId,
    title: open.known.tune.title,
    arrangementName: open.stored.name,
    startsAt: placed.startsAt,
    problem: null,
    facts,
  };
}

function binRemarks(context: AppContext, open: OpenArrangement): readonly string[] {
  const { id, tuneId } = open.stored;
  const binned =
    context.library.tunes.row(tuneId)?.binnedAt != null ||
    context.library.arrangements.list(tuneId, true).some((row) => row.id === id);
  return binned ? ['lies in the bin'] : [];
}
