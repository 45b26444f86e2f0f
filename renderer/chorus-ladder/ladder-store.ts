import { create } from 'zustand';
import type { DeviceName } from '../../shared-core/analysis/model.ts';
import { chorusesInOrder } from '../../shared-core/arrangement/fold.ts';
import type { ChorusPlan, Command } from '../../shared-core/arrangement/model.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type {
  Answer,
  ArrangementUpdate,
  ContractClient,
  ContractError,
  HistoryEntry,
  WireCommand,
} from '../../shared-core/contract/index.ts';
import type { Carrier } from '../../shared-core/devices/model.ts';
import { say } from '../common/said.tsx';
import { type OpenTune, openTune } from '../engine/open-tune.ts';
import { type Held, holdState, project } from '../engine/wire.ts';
import { type Segment, segmentsOf } from './ruler.ts';

/** Where the person stands on the ladder. Row 0 is the written changes, row n chorus n; column 0 is the row's head. */
export interface Focus {
  readonly row: number;
  readonly column: number;
}

/** An arrangement on the ladder, as the shell answered it. */
export interface OpenArrangement {
  readonly id: string;
  readonly tuneId: string;
  readonly open: OpenTune;
  readonly segments: readonly Segment[];
  /** What is shown: the shell's answer with the decisions on their way laid over it. */
  readonly held: Held;
  /** The shell's last answer alone. */
  readonly answered: Held;
  readonly choruses: readonly ChorusPlan[];
  readonly revision: number;
  readonly history: readonly HistoryEntry[];
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** Which proposals the bench shows. */
export interface Filter {
  readonly device: DeviceName | null;
  readonly carrier: Carrier | null;
  readonly laidAside: boolean;
}

/** A decision the shell could not keep yet: a busy library, a program that does not answer. */
interface HeldUp {
  readonly error: ContractError;
  again(): void;
  letGo(): void;
}

interface LadderStore {
  readonly loading: string | null;
  readonly error: ContractError | null;
  readonly arrangement: OpenArrangement | null;
  readonly focus: Focus;
  /** Proposal chosen on the bench; null is the first of the list. */
  readonly chosen: string | null;
  /** Devices whose other ways lie open on the bench. */
  readonly opened: ReadonlySet<DeviceName>;
  readonly filter: Filter;
  /** Decisions on their way to the shell, oldest first. They stay on the ladder until the shell has answered. */
  readonly pending: readonly Command[];
  /** Set while the oldest of them is held up: tries it again, or lets it and those after it go. */
  readonly heldUp: HeldUp | null;
  load(client: ContractClient, id: string): Promise<void>;
  decide(client: ContractClient, command: Command): Promise<boolean>;
  undo(client: ContractClient): Promise<boolean>;
  redo(client: ContractClient): Promise<boolean>;
  moveTo(focus: Focus): void;
  choose(proposal: string | null): void;
  /** Opens or closes the other ways of a device. */
  openWays(device: DeviceName, open: boolean): void;
  setFilter(filter: Partial<Filter>): void;
}

const NONE_OPENED: ReadonlySet<DeviceName> = new Set();

/** One after another: a decision made while another is on its way waits for the revision it makes. */
let line: Promise<unknown> = Promise.resolve();

/** How long after being held up a decision is tried again by itself, ms. */
const AGAIN = 3000;

/** Going back or on once too often is no error: it is said in passing. */
const NOTHING_LEFT: ReadonlySet<string> = new Set([
  'library/nothing-to-undo',
  'library/nothing-to-redo',
]);

/** The revision each arrangement has come to, as the shell last answered. */
const revisions = new Map<string, number>();

/** The ladder's state: what the shell answered, and where the person stands. */
export const useLadder = create<LadderStore>()((set, get) => {
  type At = { readonly id: string; readonly revision: number };
  type Ask = (at: At) => Promise<Answer<ArrangementUpdate>>;

  /** Shows the last answer with what is still on its way. */
  function show(arrangement: OpenArrangement, pending: readonly Command[]): void {
    const next = withHeld(arrangement, pending.reduce(project, arrangement.answered));
    const { focus } = get();
    const row = Math.min(focus.row, next.choruses.length);
    set({ arrangement: next, pending });
    if (row !== focus.row) set({ focus: { ...focus, row } });
  }

  async function send(
    client: ContractClient,
    id: string,
    ask: Ask,
    command: Command | null,
  ): Promise<boolean> {
    const answer = await askUntilAnswered(() => ask({ id, revision: revisions.get(id) ?? 0 }));
    if (answer.ok) revisions.set(id, answer.value.revision);
    const now = get().arrangement;
    // The person went elsewhere meanwhile; the decision is kept all the same.
    if (now?.id !== id) return answer.ok;
    const pending = get().pending.filter((one) => one !== command);
    if (answer.ok) {
      set({ error: null });
      show(withUpdate(now, answer.value), pending);
      return true;
    }
    show(now, pending);
    if (answer.error.code === 'library/stale') {
      await get().load(client, id);
      say('This arrangement was changed in another window. It is shown as it stands now.');
    } else if (NOTHING_LEFT.has(answer.error.code)) {
      say(answer.error.message);
    } else if (answer.error.retry !== true) {
      set({ error: answer.error });
    }
    return false;
  }

  /**
   * Asks until there is an answer that is not merely "try again": the decision stays where it is meanwhile,
   * and what was decided after it waits. The person may try at once, or let it go: then the refusal counts.
   */
  async function askUntilAnswered(
    ask: () => Promise<Answer<ArrangementUpdate>>,
  ): Promise<Answer<ArrangementUpdate>> {
    for (;;) {
      const answer = await ask();
      if (answer.ok || answer.error.retry !== true) {
        set({ heldUp: null });
        return answer;
      }
      const goOn = await new Promise<boolean>((resolve) => {
        const timer = setTimeout(() => resolve(true), AGAIN);
        const end = (again: boolean) => {
          clearTimeout(timer);
          resolve(again);
        };
        set({
          heldUp: { error: answer.error, again: () => end(true), letGo: () => end(false) },
        });
      });
      if (!goOn) {
        set({ heldUp: null });
        return answer;
      }
    }
  }

  function queue(client: ContractClient, ask: Ask, command: Command | null): Promise<boolean> {
    const { arrangement, pending } = get();
    if (!arrangement) return Promise.resolve(false);
    if (command) show(arrangement, [...pending, command]);
    const mine = line.then(() => send(client, arrangement.id, ask, command));
    line = mine.catch(() => undefined);
    return mine;
  }

  return {
    loading: null,
    error: null,
    arrangement: null,
    focus: { row: 1, column: 1 },
    chosen: null,
    opened: NONE_OPENED,
    filter: { device: null, carrier: null, laidAside: false },
    pending: [],
    heldUp: null,
    async load(client, id) {
      const same = get().arrangement?.id === id;
      set({ loading: id, error: null, ...(same ? {} : { arrangement: null }) });
      const opened = await fetchArrangement(client, id);
      if (get().loading !== id) return;
      if (!opened.ok) {
        set({ loading: null, error: opened.error });
        return;
      }
      revisions.set(id, opened.value.revision);
      const focus = same ? get().focus : startFocus(opened.value);
      set({
        loading: null,
        arrangement: opened.value,
        focus,
        chosen: null,
        opened: NONE_OPENED,
        pending: [],
      });
    },
    decide(client, command) {
      const wire = encode(command) as WireCommand;
      const ask: Ask = ({ id, revision }) =>
        client.call('arrangements.apply', { id, revision, command: wire });
      return queue(client, ask, command);
    },
    undo: (client) =>
      queue(client, ({ id, revision }) => client.call('arrangements.undo', { id, revision }), null),
    redo: (client) =>
      queue(client, ({ id, revision }) => client.call('arrangements.redo', { id, revision }), null),
    moveTo: (focus) => {
      const now = get().focus;
      if (now.row === focus.row && now.column === focus.column) return;
      set({ focus, chosen: null, opened: NONE_OPENED });
    },
    choose: (chosen) => set({ chosen }),
    openWays: (device, open) => {
      const opened = new Set(get().opened);
      if (open) opened.add(device);
      else opened.delete(device);
      set({ opened });
    },
    setFilter: (filter) => set({ filter: { ...get().filter, ...filter }, chosen: null }),
  };
});

async function fetchArrangement(
  client: ContractClient,
  id: string,
): Promise<Answer<OpenArrangement>> {
  const record = await client.call('arrangements.get', { id });
  if (!record.ok) return record;
  const tune = await client.call('tunes.get', { id: record.value.tuneId });
  if (!tune.ok) return tune;
  const opened = openTune(tune.value.text);
  if (!opened.ok) {
    const message = `This tune cannot be shown: ${opened.message} Open its text and mend it there.`;
    return { ok: false, error: { code: 'contract/answer', message } };
  }
  const { analysis } = opened.value;
  const held = holdState(record.value.state, null);
  return {
    ok: true,
    value: {
      id,
      tuneId: record.value.tuneId,
      open: opened.value,
      segments: segmentsOf(analysis.chorus, analysis.spans),
      held,
      answered: held,
      choruses: chorusesInOrder(held.state),
      revision: record.value.revision,
      history: record.value.history,
      canUndo: record.value.canUndo,
      canRedo: record.value.canRedo,
    },
  };
}

/** The arrangement with a new answer; shares what did not change with what is shown. */
function withUpdate(arrangement: OpenArrangement, update: ArrangementUpdate): OpenArrangement {
  return {
    ...arrangement,
    answered: holdState(update.state, arrangement.held),
    revision: update.revision,
    history: update.history,
    canUndo: update.canUndo,
    canRedo: update.canRedo,
  };
}

function withHeld(arrangement: OpenArrangement, held: Held): OpenArrangement {
  const choruses =
    held.state.choruses === arrangement.held.state.choruses
      ? arrangement.choruses
      : chorusesInOrder(held.state);
  return { ...arrangement, held, choruses };
}

/** The first span of the first chorus: where there is something to decide. */
function startFocus(arrangement: OpenArrangement): Focus {
  const first = arrangement.segments.findIndex((segment) => segment.span?.stretch);
  return { row: 1, column: Math.max(0, first) + 1 };
}

/** The chorus a row stands for; null on the written row. */
export function chorusOfRow(arrangement: OpenArrangement, row: number): ChorusPlan | null {
  return arrangement.choruses[row - 1] ?? null;
}

/** The cell's stretch of the ruler; null on the row's head. */
export function segmentOfColumn(arrangement: OpenArrangement, column: number): Segment | null {
  return arrangement.segments[column - 1] ?? null;
}
