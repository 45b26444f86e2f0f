import { ErrorNotice } from './notice.tsx';
import type { Keeping } from './use-keeping.ts';

/** Undo and redo of an editor that keeps by itself, and a word on whether it is kept. */
export function KeptState({
  keeping,
  missing,
}: {
  readonly keeping: Keeping<unknown>;
  /** What is still missing before it can be kept; null for nothing. */
  readonly missing: string | null;
}) {
  const { state, canUndo, canRedo, undo, redo } = keeping;
  const words = missing ?? (state === 'kept' ? 'Kept' : state === 'keeping' ? 'Keeping…' : '');
  return (
    <div className="page-actions kept-state">
      <span className={missing ? 'small hand-problem' : 'small quiet'} role="status">
        {words}
      </span>
      <button type="button" disabled={!canUndo} onClick={undo}>
        Undo
      </button>
      <button type="button" disabled={!canRedo} onClick={redo}>
        Redo
      </button>
    </div>
  );
}

/** Why an editor's contents are not kept. They stay on screen, and by as a draft. */
export function KeepingError({ keeping }: { readonly keeping: Keeping<unknown> }) {
  const { error, again } = keeping;
  if (!error) return null;
  const message = `${error.message} What you did stays here until it is kept.`;
  return <ErrorNotice error={{ message }} onAgain={again} />;
}
