import { useEffect } from 'react';
import { create } from 'zustand';

/** A short word to the person, with at most one thing to do about it. */
export interface Saying {
  readonly words: string;
  readonly action?: { readonly label: string; readonly run: () => void };
}

interface SaidStore {
  readonly saying: Saying | null;
  say(saying: Saying): void;
  hush(): void;
}

/** What the window last said. */
export const useSaid = create<SaidStore>()((set) => ({
  saying: null,
  say: (saying) => set({ saying }),
  hush: () => set({ saying: null }),
}));

/** Says something; with an action it stays longer, because acting takes time. */
export function say(words: string, action?: Saying['action']): void {
  useSaid.getState().say(action ? { words, action } : { words });
}

/** Shows what was last said, and has it read aloud. */
export function Said() {
  const { saying, hush } = useSaid();
  useEffect(() => {
    if (!saying) return;
    const timer = setTimeout(hush, saying.action ? 12_000 : 5_000);
    return () => clearTimeout(timer);
  }, [saying, hush]);
  return (
    <div role="status" aria-live="polite">
      {saying && (
        <div className="said">
          <span>{saying.words}</span>
          {saying.action && (
            <button
              type="button"
              onClick={() => {
                saying.action?.run();
                hush();
              }}
            >
              {saying.action.label}
            </button>
          )}
        </div>
      )}
    </div>
  );
}
