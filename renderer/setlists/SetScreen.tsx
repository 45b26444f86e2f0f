import { useState } from 'react';
import type { SetlistRecord } from '../../shared-core/contract/index.ts';
import { goTo, routeHash } from '../app/route.ts';
import { useChartOptions } from '../charts/chart-options.ts';
import { ExportProgressView } from '../charts/ExportProgressView.tsx';
import { useExport } from '../charts/use-export.ts';
import { Dialog } from '../common/dialog.tsx';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { moveItem, OrderButtons } from '../common/OrderButtons.tsx';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { useAnswer } from '../common/use-answer.ts';
import { clock, count, withSigns } from '../common/words.ts';
import { useDragOrder } from './use-drag-order.ts';

type Entries = readonly { arrangementId: string; note: string | null; pause: number }[];

/** One set: its order, its clock, its books. Every change is kept at once. */
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
  const [name, setName] = useState(set.name);
  const entries: Entries = set.entries.map(({ arrangementId, note, pause }) => ({
    arrangementId,
    note,
    pause,
  }));
  const save = async (next: Entries, called = set.name) => {
    const answer = await client.call('setlists.save', {
      id: set.id,
      name: called,
      entries: [...next],
    });
    if (answer.ok) onChanged();
    else say(answer.error.message);
  };
  const drag = useDragOrder((from, to) => void save(moveItem(entries, from, to)));
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
            value={name}
            maxLength={200}
            onChange={(event) => setName(event.target.value)}
            onBlur={() => {
              const called = name.trim();
              if (called !== '' && called !== set.name) void save(entries, called);
            }}
          />
        </div>
        <p className="set-total figures">
          {clock(set.seconds)} <span className="quiet small">{count(entries.length, 'tune')}</span>
        </p>
        <div className="page-actions">
          <button
            type="button"
            className="button-main"
            disabled={entries.length === 0}
            onClick={() => setBooks(true)}
          >
            Make the books
          </button>
          <button type="button" onClick={() => void bin()}>
            To the bin
          </button>
        </div>
      </div>
      {set.entries.length === 0 && (
        <Nothing>
          <p>Nothing in this set yet. Put the first arrangement in.</p>
        </Nothing>
      )}
      <ol className="set-entries">
        {set.entries.map((entry, index) => (
          <li
            // biome-ignore lint/suspicious/noArrayIndexKey: a tune may stand in a set twice
            key={`${entry.arrangementId} ${index}`}
            className="set-entry"
            {...drag.rowProps(index)}
          >
            <span className="set-time figures">{clock(entry.startsAt)}</span>
            <div className="set-words">
              <a href={routeHash({ screen: 'ladder', arrangement: entry.arrangementId })}>
                <b>{entry.title}</b> <span className="quiet">{entry.arrangementName}</span>
              </a>
              <p className="quiet small figures">
                {withSigns(entry.key)}, {entry.meter}, {entry.tempo}
                {entry.feel && `, ${entry.feel}`}, {count(entry.choruses, 'chorus', 'choruses')},{' '}
                {clock(entry.seconds)}
                {entry.flow && `; ${withSigns(entry.flow)}`}
              </p>
              {entry.remarks.map((remark) => (
                <p key={remark} className="set-remark small">
                  {remark}
                </p>
              ))}
              <EntryFields
                title={entry.title}
                note={entry.note}
                pause={entry.pause}
                onChange={(to) =>
                  void save(entries.map((one, at) => (at === index ? { ...one, ...to } : one)))
                }
              />
            </div>
            <OrderButtons
              what={entry.title}
              index={index}
              count={entries.length}
              onMove={(to) => void save(moveItem(entries, index, to))}
              onRemove={() => void save(entries.filter((_, at) => at !== index))}
            />
          </li>
        ))}
      </ol>
      <AddEntry
        onAdd={(arrangementId) => void save([...entries, { arrangementId, note: null, pause: 20 }])}
      />
      {books && <BooksDialog set={set} onClose={() => setBooks(false)} />}
    </>
  );
}

function EntryFields({
  title,
  note,
  pause,
  onChange,
}: {
  readonly title: string;
  readonly note: string | null;
  readonly pause: number;
  readonly onChange: (to: { note?: string | null; pause?: number }) => void;
}) {
  const [words, setWords] = useState(note ?? '');
  const [seconds, setSeconds] = useState(String(pause));
  return (
    <div className="set-fields">
      <input
        aria-label={`Note on ${title}`}
        placeholder="Note for the set sheet"
        value={words}
        maxLength={500}
        onChange={(event) => setWords(event.target.value)}
        onBlur={() => {
          const next = words.trim() === '' ? null : words.trim();
          if (next !== note) onChange({ note: next });
        }}
      />
      <label className="small">
        then
        <input
          aria-label={`Seconds after ${title}`}
          className="figures set-pause"
          inputMode="numeric"
          value={seconds}
          onChange={(event) => setSeconds(event.target.value)}
          onBlur={() => {
            const next = Number(seconds);
            const fine = Number.isInteger(next) && next >= 0 && next <= 3600;
            if (!fine) setSeconds(String(pause));
            else if (next !== pause) onChange({ pause: next });
          }}
        />
        seconds
      </label>
    </div>
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
