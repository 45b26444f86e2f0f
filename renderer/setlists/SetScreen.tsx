import { useState } from 'react';
import type { SetlistRecord } from '../../shared-core/contract/index.ts';
import { goTo } from '../app/route.ts';
import { useChartOptions } from '../charts/chart-options.ts';
import { ExportProgressView } from '../charts/ExportProgressView.tsx';
import { useExport } from '../charts/use-export.ts';
import { Dialog } from '../common/dialog.tsx';
import { KeepingError, KeptState } from '../common/KeptState.tsx';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { moveItem, OrderButtons } from '../common/OrderButtons.tsx';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { useAnswer } from '../common/use-answer.ts';
import { useKeeping } from '../common/use-keeping.ts';
import { clock, count } from '../common/words.ts';
import { SetEntry } from './SetEntry.tsx';
import {
  draftOf,
  type EntryDraft,
  inputOf,
  missingIn,
  rowFor,
  type SetDraft,
} from './set-draft.ts';
import { useDragOrder } from './use-drag-order.ts';

/** One set: its order, its clock, its books. Every change is kept by itself. */
export function SetScreen({ id }: { readonly id: string }) {
  const [asked, again] = useAnswer('setlists.get', { id });
  return (
    <div className="page">
      <div className="page-inner">
        {asked.state === 'waiting' && <Waiting what="Opening the set" />}
        {asked.state === 'failed' && <ErrorNotice error={asked.error} onAgain={again} />}
        {asked.state === 'answered' && <OpenSet set={asked.value} onChanged={again} />}
      </div>
    </div>
  );
}

function OpenSet({
  set,
  onChanged,
}: {
  readonly set: SetlistRecord;
  readonly onChanged: () => void;
}) {
  const client = useClient();
  const [books, setBooks] = useState(false);
  const keeping = useKeeping<SetDraft>({
    name: `set ${set.id}`,
    kept: draftOf(set),
    isWhole: (draft) => missingIn(draft) === null,
    keep: async (draft) => {
      const answer = await client.call('setlists.save', { id: set.id, ...inputOf(draft) });
      if (!answer.ok) return answer.error;
      onChanged();
      return null;
    },
  });
  const { value, change } = keeping;
  const { entries } = value;
  const put = (next: readonly EntryDraft[], when: 'soon' | 'now' = 'now') =>
    change({ ...value, entries: next }, when);
  const drag = useDragOrder((from, to) => put(moveItem(entries, from, to)));
  const bin = async () => {
    const answer = await client.call('setlists.bin', { id: set.id });
    if (!answer.ok) {
      say(answer.error.message);
      return;
    }
    say(`${set.name} is in the bin.`, {
      label: 'Put it back',
      run: () =>
        void client
          .call('setlists.restore', { id: set.id })
          .then(() => goTo({ screen: 'set', set: set.id })),
    });
    goTo({ screen: 'sets' });
  };
  return (
    <>
      <div className="page-head">
        <div className="field band-name">
          <label htmlFor="set-called">The set is called</label>
          <input
            id="set-called"
            value={value.name}
            maxLength={200}
            onChange={(event) => change({ ...value, name: event.target.value }, 'soon')}
          />
        </div>
        <p className="set-total figures">
          {clock(set.seconds)} <span className="quiet small">{count(entries.length, 'tune')}</span>
        </p>
        <KeptState keeping={keeping} missing={missingIn(value)} />
        <div className="page-actions">
          <button
            type="button"
            className="button-main"
            disabled={entries.length === 0 || set.entries.some(({ problem }) => problem !== null)}
            onClick={() => setBooks(true)}
          >
            Make the books
          </button>
          <button type="button" onClick={() => void bin()}>
            To the bin
          </button>
        </div>
      </div>
      <KeepingError keeping={keeping} />
      {entries.length === 0 && (
        <Nothing>
          <p>Nothing in this set yet. Choose below what the band opens with.</p>
        </Nothing>
      )}
      <ol className="set-entries">
        {entries.map((entry, index) => (
          <SetEntry
            // biome-ignore lint/suspicious/noArrayIndexKey: a tune may stand in a set twice
            key={`${entry.arrangementId} ${index}`}
            entry={entry}
            row={rowFor(set, entry, index)}
            rowProps={drag.rowProps(index)}
            onChange={(to) =>
              put(
                entries.map((one, at) => (at === index ? to : one)),
                'soon',
              )
            }
          >
            {(title) => (
              <OrderButtons
                what={title}
                index={index}
                count={entries.length}
                onMove={(to) => put(moveItem(entries, index, to))}
                onRemove={() => put(entries.filter((_, at) => at !== index))}
              />
            )}
          </SetEntry>
        ))}
      </ol>
      <AddEntry
        onAdd={(arrangementId) => put([...entries, { arrangementId, note: '', pause: '20' }])}
      />
      {books && <BooksDialog set={set} onClose={() => setBooks(false)} />}
    </>
  );
}

function AddEntry({ onAdd }: { readonly onAdd: (arrangement: string) => void }) {
  const [asked] = useAnswer('arrangements.list', {});
  const [chosen, setChosen] = useState('');
  if (asked.state !== 'answered') return null;
  const { arrangements } = asked.value;
  if (arrangements.length === 0) {
    return (
      <p className="bench-quiet">
        There are no arrangements yet. Make one from a tune, then put it in here.
      </p>
    );
  }
  return (
    <form
      className="new-arrangement"
      onSubmit={(event) => {
        event.preventDefault();
        if (chosen) onAdd(chosen);
      }}
    >
      <div className="field set-add">
        <label htmlFor="set-add">Put in</label>
        <select id="set-add" value={chosen} onChange={(event) => setChosen(event.target.value)}>
          <option value="">Choose an arrangement</option>
          {arrangements.map((one) => (
            <option key={one.id} value={one.id}>
              {one.tuneTitle}: {one.name}
            </option>
          ))}
        </select>
      </div>
      <button type="submit" className="button-ruled" disabled={!chosen}>
        Put it in
      </button>
    </form>
  );
}

function BooksDialog({
  set,
  onClose,
}: {
  readonly set: SetlistRecord;
  readonly onClose: () => void;
}) {
  const options = useChartOptions();
  const exporting = useExport();
  const begun = exporting.running || exporting.progress !== null;
  const close = () => {
    if (exporting.running) exporting.cancel();
    onClose();
  };
  return (
    <Dialog title={`Books for ${set.name}`} onClose={close}>
      {!begun && (
        <p>A set sheet, and one book for every chair with its charts in the order of the set.</p>
      )}
      <ExportProgressView exporting={exporting} />
      {!begun && (
        <div className="dialog-foot">
          <button type="button" onClick={close}>
            Leave it
          </button>
          <button
            type="button"
            className="button-main"
            onClick={() =>
              void exporting.start((client) =>
                client.call('setlists.export', {
                  id: set.id,
                  options,
                }),
              )
            }
          >
            Make them
          </button>
        </div>
      )}
    </Dialog>
  );
}
