import {
  type KeyboardEvent,
  useCallback,
  useDeferredValue,
  useEffect,
  useMemo,
  useState,
} from 'react';
import type { ContractClient } from '../../shared-core/contract/index.ts';
import { TICKS_PER_QUARTER } from '../../shared-core/time/meter.ts';
import { goTo } from '../app/route.ts';
import { useSettings } from '../app/settings.ts';
import { useBand } from '../band/band-store.ts';
import { ExportDialog } from '../charts/ExportDialog.tsx';
import { ErrorNotice, Waiting } from '../common/notice.tsx';
import { scaleNow } from '../common/scale.ts';
import { useClient } from '../common/shell-context.ts';
import { chooseNeighbour, keep, layAside, turnWays } from '../proposal-bench/actions.ts';
import { Bench, type BenchView } from '../proposal-bench/Bench.tsx';
import { useTaste } from '../taste/taste-store.ts';
import { hearAfter, hearBefore, hearFrom } from '../transport/hear.ts';
import { TransportBar } from '../transport/TransportBar.tsx';
import { useTransport } from '../transport/transport-store.ts';
import { ChordViewProvider } from './ChordViewProvider.tsx';
import { focusLadder } from './focus-ladder.ts';
import { HeldUpNotice } from './HeldUpNotice.tsx';
import { KeysDialog } from './KeysDialog.tsx';
import { Ladder } from './Ladder.tsx';
import { LadderHead } from './LadderHead.tsx';
import { type OpenArrangement, useLadder } from './ladder-store.ts';
import { PlanDialog } from './PlanDialog.tsx';
import { QUARTER_LIMITS } from './ruler.ts';
import { Stranded } from './Stranded.tsx';

type Open = 'keys' | 'export' | 'plan' | null;

/** One arrangement: ladder, bench and sound. */
export function LadderScreen({ id }: { readonly id: string }) {
  const client = useClient();
  const load = useLadder((store) => store.load);
  const arrangement = useLadder((store) => store.arrangement);
  const loading = useLadder((store) => store.loading);
  const error = useLadder((store) => store.error);
  const loadTaste = useTaste((store) => store.load);
  const loadBand = useBand((store) => store.load);
  const stop = useTransport((store) => store.stop);
  useEffect(() => {
    void load(client, id);
    void loadTaste(client);
    void loadBand(client);
    return stop;
  }, [client, id, load, loadTaste, loadBand, stop]);

  if (!arrangement || arrangement.id !== id) {
    return (
      <div className="page">
        <div className="page-inner">
          {error ? (
            <ErrorNotice error={error} onAgain={() => void load(client, id)} />
          ) : (
            <Waiting what={loading ? 'Laying the choruses out' : 'Opening the arrangement'} />
          )}
        </div>
      </div>
    );
  }
  return (
    <ChordViewProvider musicKey={arrangement.open.analysis.key}>
      <OpenLadder arrangement={arrangement} />
    </ChordViewProvider>
  );
}

function OpenLadder({ arrangement }: { readonly arrangement: OpenArrangement }) {
  const [view, setView] = useState<BenchView>('proposals');
  const [open, setOpen] = useState<Open>(null);
  const error = useLadder((store) => store.error);
  const heldUp = useLadder((store) => store.heldUp !== null);
  const band = useBand((store) => store.band);
  // The decided cell is drawn first, the bench's list right after it.
  const onBench = useDeferredValue(arrangement);
  const onKey = useLadderKeys(setView, setOpen);
  const close = useCallback(() => setOpen(null), []);
  useEffect(() => {
    // Who comes from another screen has the keyboard on the ladder at once; who is busy elsewhere keeps it.
    const { activeElement } = document;
    const free = activeElement === document.body || activeElement?.id === 'main';
    if (free) focusLadder(useLadder.getState().focus);
  }, []);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: keys that work wherever the person stands on this screen
    <div className="ladder-screen" onKeyDown={useScreenKeys(setOpen)}>
      <LadderHead arrangement={arrangement} onOpen={setOpen}>
        {heldUp && <HeldUpNotice />}
        {!heldUp && !error && <Stranded arrangement={arrangement} />}
        {!heldUp && error && (
          <ErrorNotice error={error} onDismiss={() => useLadder.setState({ error: null })} />
        )}
      </LadderHead>
      <Ladder arrangement={arrangement} onKey={onKey} />
      <Bench arrangement={onBench} band={band} view={view} onView={setView} onKey={onKey} />
      <TransportBar arrangement={arrangement} />
      {open === 'keys' && <KeysDialog onClose={close} />}
      {open === 'export' && (
        <ExportDialog
          arrangement={arrangement.id}
          name={arrangement.held.state.head.name}
          onClose={close}
        />
      )}
      {open === 'plan' && <PlanDialog arrangement={arrangement} onClose={close} />}
    </div>
  );
}

type LadderKey = (event: KeyboardEvent) => void;

/** Keys of the grid: single letters, so they count only while the ladder has the focus. */
function ladderKeys(
  client: ContractClient,
  setView: (view: BenchView) => void,
  setOpen: (open: Open) => void,
): ReadonlyMap<string, LadderKey> {
  return new Map<string, LadderKey>([
    ['Enter', (event) => void keep(client, event.shiftKey ? 'other' : undefined)],
    ['o', () => void keep(client, 'other')],
    ['x', () => void layAside(client)],
    ['Delete', () => void layAside(client)],
    ['Backspace', () => void layAside(client)],
    ['b', hearBefore],
    ['a', hearAfter],
    ['n', () => chooseNeighbour(1)],
    ['p', () => chooseNeighbour(-1)],
    ['m', () => turnWays()],
    ['u', () => void useLadder.getState().undo(client)],
    ['r', () => void useLadder.getState().redo(client)],
    ['h', () => setView('hand')],
    ['v', () => setView('proposals')],
    ['?', () => setOpen('keys')],
    [' ', playOrStop],
    ['l', () => useTransport.getState().setLoop(!useTransport.getState().loop)],
    ['c', goToCharts],
    ['+', () => widen(1)],
    ['=', () => widen(1)],
    ['-', () => widen(-1)],
    ['0', () => useSettings.getState().set({ quarterWidth: null })],
  ]);
}

function useLadderKeys(
  setView: (view: BenchView) => void,
  setOpen: (open: Open) => void,
): (event: KeyboardEvent) => boolean {
  const client = useClient();
  const keys = useMemo(() => ladderKeys(client, setView, setOpen), [client, setView, setOpen]);
  return useCallback(
    (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return false;
      const act = keys.get(event.key.length === 1 ? event.key.toLowerCase() : event.key);
      act?.(event);
      return act !== undefined;
    },
    [keys],
  );
}

/** Keys with a modifier: they count everywhere on the screen but in a text field, which has its own undo. */
function useScreenKeys(setOpen: (open: Open) => void): (event: KeyboardEvent) => void {
  const client = useClient();
  return useCallback(
    (event) => {
      const typing = event.target instanceof HTMLElement && event.target.matches('input, textarea');
      if (!(event.ctrlKey || event.metaKey) || event.altKey || typing) return;
      const key = event.key.toLowerCase();
      const { undo, redo } = useLadder.getState();
      if (key === 'z' && !event.shiftKey) void undo(client);
      else if (key === 'y' || (key === 'z' && event.shiftKey)) void redo(client);
      else if (key === 'e') setOpen('export');
      else return;
      event.preventDefault();
    },
    [client, setOpen],
  );
}

function playOrStop(): void {
  const { sounding, loading, stop } = useTransport.getState();
  if (sounding || loading) stop();
  else hearFrom(Math.max(0, useLadder.getState().focus.row - 1));
}

function goToCharts(): void {
  const { arrangement } = useLadder.getState();
  if (arrangement) goTo({ screen: 'charts', arrangement: arrangement.id });
}

function widen(by: 1 | -1): void {
  const { arrangement } = useLadder.getState();
  const bars = document.querySelector<HTMLElement>('.written-bars');
  if (!arrangement || !bars) return;
  const quarters = arrangement.open.analysis.chorus.length / TICKS_PER_QUARTER;
  const now = bars.clientWidth / quarters / scaleNow();
  const next = Math.round(by > 0 ? now * 1.2 : now / 1.2);
  const quarterWidth = Math.min(QUARTER_LIMITS.most, Math.max(QUARTER_LIMITS.least, next));
  useSettings.getState().set({ quarterWidth });
}
