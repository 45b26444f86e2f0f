import { useCallback, useEffect, useRef, useState } from 'react';
import type { ContractError } from '../../shared-core/contract/index.ts';
import { forgetDraft, readDraft, writeDraft } from './drafts.ts';

/** How long a person may pause in typing before it is kept, ms. */
const PAUSE = 600;
/** How long after a refusal that may pass (a busy library) it is tried again, ms. */
const AGAIN = 3000;

/** An editor that keeps what is done in it by itself. */
export interface Keeping<T> {
  /** What stands on screen. */
  readonly value: T;
  /** `unkept`: on screen only (and by as a draft), because it is being typed, is not whole, or was refused. */
  readonly state: 'kept' | 'keeping' | 'unkept';
  /** Why it was not kept; null while all is well. */
  readonly error: ContractError | null;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** `soon` waits for a pause in typing. */
  change(next: T, when: 'soon' | 'now'): void;
  undo(): void;
  redo(): void;
  /** Tries again to keep it. */
  again(): void;
}

/** What an editor keeps, and how. */
export interface KeepingOptions<T> {
  /** Name of its draft. */
  readonly name: string;
  /** What is kept, as the screen was opened. */
  readonly kept: T;
  /** Whether it can be kept as it stands: no name left empty, no number missing. */
  readonly isWhole: (value: T) => boolean;
  /** Keeps it; answers why not. */
  readonly keep: (value: T) => Promise<ContractError | null>;
}

/**
 * Keeps an editor's contents as they are changed, one after another, and steps back and forth through what
 * was kept. What is not kept yet is put by as a draft at every key, so that leaving loses nothing.
 */
export function useKeeping<T>(options: KeepingOptions<T>): Keeping<T> {
  const latest = useRef(options);
  latest.current = options;
  const [value, setValue] = useState<T>(() => readDraft<T>(options.name) ?? options.kept);
  const [state, setState] = useState<Keeping<T>['state']>('kept');
  const [error, setError] = useState<ContractError | null>(null);
  const [past, setPast] = useState<readonly T[]>([]);
  const [future, setFuture] = useState<readonly T[]>([]);
  const shown = useRef(value);
  const kept = useRef(options.kept);
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const busy = useRef(false);

  const keepNow = useCallback(async (): Promise<void> => {
    clearTimeout(timer.current);
    const { isWhole, keep, name } = latest.current;
    const next = shown.current;
    if (busy.current || !isWhole(next)) return;
    if (same(next, kept.current)) {
      forgetDraft(name);
      setState('kept');
      setError(null);
      return;
    }
    busy.current = true;
    setState('keeping');
    const refused = await keep(next);
    busy.current = false;
    setError(refused);
    if (refused) {
      setState('unkept');
      if (refused.retry) timer.current = setTimeout(() => void keepNow(), AGAIN);
      return;
    }
    kept.current = next;
    // Changed meanwhile: that is kept next. The draft is let go once nothing is left over.
    await keepNow();
  }, []);

  const show = useCallback(
    (next: T, when: 'soon' | 'now') => {
      shown.current = next;
      setValue(next);
      setState('unkept');
      writeDraft(latest.current.name, next);
      clearTimeout(timer.current);
      if (when === 'now') void keepNow();
      else timer.current = setTimeout(() => void keepNow(), PAUSE);
    },
    [keepNow],
  );

  useEffect(() => {
    // A draft of the last time is kept now; what is on screen when it is left is kept then.
    if (!same(shown.current, kept.current)) void keepNow();
    const leave = () => void keepNow();
    addEventListener('pagehide', leave);
    return () => {
      removeEventListener('pagehide', leave);
      leave();
    };
  }, [keepNow]);

  return {
    value,
    state,
    error,
    canUndo: past.length > 0,
    canRedo: future.length > 0,
    change(next, when) {
      if (same(next, shown.current)) return;
      // A run of keys is one step: it began at what is kept.
      const from = when === 'now' || state === 'kept' ? shown.current : null;
      if (from !== null) setPast([...past, from]);
      setFuture([]);
      show(next, when);
    },
    undo() {
      const before = past.at(-1);
      if (before === undefined) return;
      setPast(past.slice(0, -1));
      setFuture([...future, shown.current]);
      show(before, 'now');
    },
    redo() {
      const after = future.at(-1);
      if (after === undefined) return;
      setFuture(future.slice(0, -1));
      setPast([...past, shown.current]);
      show(after, 'now');
    },
    again: () => void keepNow(),
  };
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
