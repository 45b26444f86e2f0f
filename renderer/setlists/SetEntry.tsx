import type { ReactNode } from 'react';
import type { SetlistEntryRow, SetlistFacts } from '../../shared-core/contract/index.ts';
import { routeHash } from '../app/route.ts';
import { clock, count, withSigns } from '../common/words.ts';
import { type EntryDraft, isPause } from './set-draft.ts';
import type { useDragOrder } from './use-drag-order.ts';

/** One entry of a set: when it comes, how it goes, what is said and waited after it. */
export function SetEntry({
  entry,
  row,
  rowProps,
  onChange,
  children,
}: {
  readonly entry: EntryDraft;
  /** Null for the moment after it was put in. */
  readonly row: SetlistEntryRow | null;
  readonly rowProps: ReturnType<ReturnType<typeof useDragOrder>['rowProps']>;
  readonly onChange: (to: EntryDraft) => void;
  readonly children: (title: string) => ReactNode;
}) {
  const title = row?.title ?? 'A tune';
  return (
    <li className={row?.problem ? 'set-entry set-entry-wrong' : 'set-entry'} {...rowProps}>
      <span className="set-time figures">{row ? clock(row.startsAt) : ''}</span>
      <div className="set-words">
        <a href={routeHash({ screen: 'ladder', arrangement: entry.arrangementId })}>
          <b>{title}</b> <span className="quiet">{row?.arrangementName}</span>
        </a>
        {row?.facts && <EntryFacts facts={row.facts} />}
        {row?.problem && (
          <div className="set-problem">
            <p>{row.problem}</p>
            <a
              className="button button-ruled"
              href={routeHash({ screen: 'write', tune: row.tuneId })}
            >
              Open its text
            </a>
          </div>
        )}
        <div className="set-fields">
          <input
            aria-label={`Note on ${title}`}
            placeholder="Note for the set sheet"
            value={entry.note}
            maxLength={500}
            onChange={(event) => onChange({ ...entry, note: event.target.value })}
          />
          <label className="small">
            then
            <input
              aria-label={`Seconds after ${title}`}
              className="figures set-pause"
              inputMode="numeric"
              value={entry.pause}
              aria-invalid={!isPause(entry.pause)}
              onChange={(event) => onChange({ ...entry, pause: event.target.value })}
            />
            seconds
          </label>
        </div>
      </div>
      {children(title)}
    </li>
  );
}

function EntryFacts({ facts }: { readonly facts: SetlistFacts }) {
  const { key, meter, tempo, feel, choruses, seconds, flow, remarks } = facts;
  return (
    <>
      <p className="quiet small figures">
        {withSigns(key)}, {meter}, {tempo}
        {feel && `, ${feel}`}, {count(choruses, 'chorus', 'choruses')}, {clock(seconds)}
        {flow && `; ${withSigns(flow)}`}
      </p>
      {remarks.map((remark) => (
        <p key={remark} className="set-remark small">
          {remark}
        </p>
      ))}
    </>
  );
}
