import { useState } from 'react';
import { Dialog } from '../common/dialog.tsx';
import { useTyped } from '../common/drafts.ts';
import { useClient } from '../common/shell-context.ts';
import { type OpenArrangement, useLadder } from './ladder-store.ts';

/** The arrangement's name; opens its own facts: name, tempo, feel. */
export function HeadButton({ arrangement }: { readonly arrangement: OpenArrangement }) {
  const [open, setOpen] = useState(false);
  const { head } = arrangement.held.state;
  return (
    <>
      <button type="button" className="head-button" onClick={() => setOpen(true)}>
        {head.name}
      </button>
      {open && <HeadDialog arrangement={arrangement} onClose={() => setOpen(false)} />}
    </>
  );
}

function HeadDialog({
  arrangement,
  onClose,
}: {
  readonly arrangement: OpenArrangement;
  readonly onClose: () => void;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const { head } = arrangement.held.state;
  const { tune } = arrangement.open;
  const { value, type, unkept, forget } = useTyped(`head ${arrangement.id}`, {
    name: head.name,
    tempo: head.tempo === null ? '' : String(head.tempo),
    feel: head.feel ?? '',
  });
  const { name, tempo, feel } = value;
  const beats = tempo.trim() === '' ? null : Number(tempo);
  const wrongTempo = beats !== null && !(beats >= 20 && beats <= 400);
  const save = async () => {
    const words = feel.trim();
    const done = await decide(client, {
      kind: 'set-head',
      head: { name: name.trim(), tempo: beats, feel: words === '' ? null : words },
    });
    if (!done) return;
    forget();
    onClose();
  };
  return (
    <Dialog title="This arrangement" onClose={onClose}>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void save();
        }}
      >
        <div className="field">
          <label htmlFor="head-name">Name</label>
          <input
            id="head-name"
            value={name}
            maxLength={200}
            onChange={(event) => type({ ...value, name: event.target.value })}
          />
        </div>
        <div className="field">
          <label htmlFor="head-tempo">Tempo in beats a minute</label>
          <input
            id="head-tempo"
            inputMode="numeric"
            value={tempo}
            placeholder={tune.tempo === null ? 'none marked' : `${tune.tempo}, as the tune says`}
            aria-invalid={wrongTempo}
            onChange={(event) => type({ ...value, tempo: event.target.value })}
          />
          {wrongTempo && <p className="hand-problem small">A tempo from 20 to 400, please.</p>}
        </div>
        <div className="field">
          <label htmlFor="head-feel">Feel</label>
          <input
            id="head-feel"
            value={feel}
            maxLength={100}
            placeholder={tune.feel ?? 'none marked'}
            onChange={(event) => type({ ...value, feel: event.target.value })}
          />
        </div>
        <div className="dialog-foot">
          {unkept && (
            <button type="button" className="button-ruled" onClick={forget}>
              As it was
            </button>
          )}
          <button type="button" onClick={onClose}>
            Leave it
          </button>
          <button type="submit" className="button-main" disabled={wrongTempo || name.trim() === ''}>
            Keep
          </button>
        </div>
      </form>
    </Dialog>
  );
}
