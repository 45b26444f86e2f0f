import { type DragEvent, useDeferredValue, useRef, useState } from 'react';
import type { TuneRow } from '../../shared-core/contract/index.ts';
import { routeHash } from '../app/route.ts';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { useClient } from '../common/shell-context.ts';
import { useAnswer } from '../common/use-answer.ts';
import { count, withSigns } from '../common/words.ts';
import { ImportResults } from './ImportResults.tsx';
import { useImport } from './use-import.ts';

/** Every tune of the library: find, open, bring in, put away. */
export function LibraryScreen() {
  const [search, setSearch] = useState('');
  const [binned, setBinned] = useState(false);
  const wanted = useDeferredValue(search.trim());
  const [asked, again] = useAnswer('tunes.list', {
    ...(wanted ? { search: wanted } : {}),
    ...(binned ? { binned: true } : {}),
  });
  const importing = useImport(again);
  const [over, setOver] = useState(false);
  const picker = useRef<HTMLInputElement>(null);
  const onDrop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    void importing.take([...event.dataTransfer.files]);
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: files can also be chosen with the button
    <div
      className={over ? 'page page-over' : 'page'}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={onDrop}
    >
      <div className="page-inner">
        <div className="page-head">
          <h1>{binned ? 'Tunes in the bin' : 'Tunes'}</h1>
          <div className="page-actions">
            <a className="button button-main" href={routeHash({ screen: 'write', tune: null })}>
              Write a tune
            </a>
            <button type="button" className="button-ruled" onClick={() => picker.current?.click()}>
              Bring in files
            </button>
            <input
              ref={picker}
              type="file"
              multiple
              hidden
              aria-label="Files to bring in"
              onChange={(event) => {
                void importing.take([...(event.target.files ?? [])]);
                event.target.value = '';
              }}
            />
          </div>
        </div>
        <div className="library-find">
          <input
            type="search"
            value={search}
            placeholder="Title, credit or a chord"
            aria-label="Find tunes"
            onChange={(event) => setSearch(event.target.value)}
          />
          <label className="check">
            <input
              type="checkbox"
              checked={binned}
              onChange={(event) => setBinned(event.target.checked)}
            />
            Show the bin
          </label>
        </div>
        <ImportResults importing={importing} />
        {asked.state === 'waiting' && <Waiting what="Getting the tunes out" />}
        {asked.state === 'failed' && <ErrorNotice error={asked.error} onAgain={again} />}
        {asked.state === 'answered' &&
          (asked.value.tunes.length > 0 ? (
            <TuneList tunes={asked.value.tunes} binned={binned} onChanged={again} />
          ) : (
            <NoTunes search={wanted} binned={binned} />
          ))}
      </div>
    </div>
  );
}

function NoTunes({ search, binned }: { readonly search: string; readonly binned: boolean }) {
  if (search) {
    return (
      <Nothing>
        <p>No tune has “{search}” in its title, its credit or its changes.</p>
      </Nothing>
    );
  }
  if (binned) {
    return (
      <Nothing>
        <p>The bin is empty.</p>
      </Nothing>
    );
  }
  return (
    <Nothing>
      <p>
        No tunes yet. Write one down as you would on a napkin, or drop files here: tune text,
        MusicXML, ABC or MIDI.
      </p>
      <a className="button button-main" href={routeHash({ screen: 'write', tune: null })}>
        Write a tune
      </a>
    </Nothing>
  );
}

function TuneList({
  tunes,
  binned,
  onChanged,
}: {
  readonly tunes: readonly TuneRow[];
  readonly binned: boolean;
  readonly onChanged: () => void;
}) {
  const client = useClient();
  const restore = async (id: string) => {
    const answer = await client.call('tunes.restore', { id });
    if (answer.ok) onChanged();
  };
  return (
    <ul className="tunes" aria-label={count(tunes.length, 'tune')}>
      {tunes.map((tune) => (
        <li key={tune.id} className="tune">
          {binned ? (
            <>
              <TuneWords tune={tune} />
              <button
                type="button"
                className="button-ruled"
                onClick={() => void restore(tune.id)}
                aria-label={`Put ${tune.title} back`}
              >
                Put back
              </button>
            </>
          ) : (
            <a href={routeHash({ screen: 'tune', tune: tune.id })}>
              <TuneWords tune={tune} />
            </a>
          )}
        </li>
      ))}
    </ul>
  );
}

function TuneWords({ tune }: { readonly tune: TuneRow }) {
  return (
    <>
      <span className="tune-title">
        {tune.title}
        {tune.credit && <span className="quiet small"> {tune.credit}</span>}
      </span>
      <span className="tune-key">
        {withSigns(tune.key)}
        {tune.keyInferred && <span className="quiet small"> by ear</span>}
      </span>
      <span className="tune-facts quiet small figures">
        {[tune.meter, tune.feel, tune.tempo, tune.form, count(tune.bars, 'bar')]
          .filter((fact) => fact !== null && fact !== '')
          .join(', ')}
      </span>
      <span className="tune-arrangements small">
        {tune.arrangements > 0 ? count(tune.arrangements, 'arrangement') : ''}
      </span>
    </>
  );
}
