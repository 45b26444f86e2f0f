import { useCallback, useState } from 'react';

/**
 * What was typed and is not kept yet. It outlives the screen, the window and the program, so that nothing
 * typed is ever lost: whoever comes back finds it where it was left.
 */
const PREFIX = 'changewright-draft ';

/** A draft by its name; null where there is none, or where it can no longer be read. */
export function readDraft<T>(name: string): T | null {
  const text = localStorage.getItem(PREFIX + name);
  if (text === null) return null;
  try {
    return JSON.parse(text) as T;
  } catch {
    // Not written by us: a draft is always whole JSON.
    localStorage.removeItem(PREFIX + name);
    return null;
  }
}

/** Puts a draft by. */
export function writeDraft(name: string, value: unknown): void {
  localStorage.setItem(PREFIX + name, JSON.stringify(value));
}

/** Lets a draft go: it was kept, or the person threw it away. */
export function forgetDraft(name: string): void {
  localStorage.removeItem(PREFIX + name);
}

/** Something typed: what stands on screen, and whether it is more than what is kept. */
export interface Typed<T> {
  readonly value: T;
  readonly unkept: boolean;
  type(value: T): void;
  /** Back to what is kept. */
  forget(): void;
}

/**
 * State of a field or form that is kept by a button: like `useState`, but what was typed outlives the screen.
 *
 * @param name of the draft, one for each thing that can be edited; a component lives with one name
 * @param kept what is kept now; shown as long as nothing else was typed
 */
export function useTyped<T>(name: string, kept: T): Typed<T> {
  const [typed, setTyped] = useState<T | null>(() => readDraft<T>(name));
  const type = useCallback(
    (value: T) => {
      setTyped(value);
      writeDraft(name, value);
    },
    [name],
  );
  const forget = useCallback(() => {
    setTyped(null);
    forgetDraft(name);
  }, [name]);
  const value = typed ?? kept;
  const unkept = typed !== null && JSON.stringify(typed) !== JSON.stringify(kept);
  return { value, unkept, type, forget };
}
