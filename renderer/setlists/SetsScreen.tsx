import { useState } from 'react';
import { goTo, routeHash } from '../app/route.ts';
import { useTyped } from '../common/drafts.ts';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { useAnswer } from '../common/use-answer.ts';
import { clock, count, day } from '../common/words.ts';

/** Every set list. */
export function SetsScreen() {
  const client = useClient();
  const [binned, setBinned] = useState(false);
  const [asked, again] = useAnswer('setlists.list', binned ? { binned: true } : {});
  const { value: name, type, forget } = useTyped('set new', '');
  const create = async () => {
    const answer = await client.call('setlists.save', { name: name.trim(), entries: [] });
    if (!answer.ok) {
      say(answer.error.message);
      return;
    }
    forget();
    goTo({ screen: 'set', set: answer.value.id });
  };
  const restore = async (id: string) => {
    const answer = await client.call('setlists.restore', { id });
    if (answer.ok) again();
    else say(answer.error.message);
  };
  return (
    <div className="page">
      <div className="page-inner">
        <div className="page-head">
          <h1>{binned ? 'Sets in the bin' : 'Sets'}</h1>
          <label className="check">
            <input
              type="checkbox"
              checked={binned}
              onChange={(event) => setBinned(event.target.checked)}
            />
            Show the bin
          </label>
        </div>
        {!binned && (
          <form
            className="new-arrangement"
            onSubmit={(event) => {
              event.preventDefault();
              void create();
            }}
          >
            <div className="field">
              <label htmlFor="set-name">A new set</label>
              <input
                id="set-name"
                value={name}
                maxLength={200}
                placeholder="Friday, second set"
                onChange={(event) => type(event.target.value)}
              />
            </div>
            <button type="submit" className="button-ruled" disabled={name.trim() === ''}>
              Start it
            </button>
          </form>
        )}
        {asked.state === 'waiting' && <Waiting what="Getting the sets out" />}
        {asked.state === 'failed' && <ErrorNotice error={asked.error} onAgain={again} />}
        {asked.state === 'answered' && asked.value.setlists.length === 0 && (
          <Nothing>
            <p>
              {binned
                ? 'The bin is empty.'
                : 'No sets yet. A set puts arrangements in an order, knows how long they take, and makes a book for every chair.'}
            </p>
          </Nothing>
        )}
        {asked.state === 'answered' && (
          <ul className="tunes">
            {asked.value.setlists.map((set) => (
              <li key={set.id} className="tune set-row">
                {binned ? (
                  <>
                    <span className="tune-title">{set.name}</span>
                    <button
                      type="button"
                      className="button-ruled"
                      aria-label={`Put ${set.name} back`}
                      onClick={() => void restore(set.id)}
                    >
                      Put back
                    </button>
                  </>
                ) : (
                  <a href={routeHash({ screen: 'set', set: set.id })}>
                    <span className="tune-title">{set.name}</span>
                    <span className="tune-key figures">{clock(set.seconds)}</span>
                    <span className="quiet small figures">
                      {count(set.entries, 'tune')}, last touched {day(set.changedAt)}
                    </span>
                    {set.unreadable > 0 && (
                      <span className="set-remark small">
                        {count(set.unreadable, 'tune')} in it cannot be read; open it to see why
                      </span>
                    )}
                  </a>
                )}
              </li>
            ))}
          </ul>
        )}
      </div>
    </div>
  );
}
