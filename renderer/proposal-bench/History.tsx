import { type OpenArrangement, useLadder } from '../chorus-ladder/ladder-store.ts';
import { useClient } from '../common/shell-context.ts';
import { dayAndTime } from '../common/words.ts';

/** Every decision, latest first, with the way back. */
export function History({ arrangement }: { readonly arrangement: OpenArrangement }) {
  const client = useClient();
  const undo = useLadder((store) => store.undo);
  const redo = useLadder((store) => store.redo);
  const entries = [...arrangement.history].reverse();
  return (
    <section aria-label="History">
      <div className="history-tools">
        <button
          type="button"
          className="button-ruled"
          disabled={!arrangement.canUndo}
          onClick={() => void undo(client)}
        >
          Undo <kbd>U</kbd>
        </button>
        <button
          type="button"
          className="button-ruled"
          disabled={!arrangement.canRedo}
          onClick={() => void redo(client)}
        >
          Redo <kbd>R</kbd>
        </button>
      </div>
      {entries.length === 0 && (
        <p className="bench-quiet">
          Nothing has been decided yet. What you decide is listed here and can be undone, next year
          too.
        </p>
      )}
      <ol className="history">
        {entries.map((entry) => (
          <li key={entry.seq} className={entry.undone ? 'history-undone' : undefined}>
            <span>{entry.label}</span>
            <span className="quiet small figures">
              {dayAndTime(entry.at)}
              {entry.undone && ', undone'}
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}
