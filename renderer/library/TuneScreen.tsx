import { keyName } from '../../shared-core/pitch/key.ts';
import { meterName } from '../../shared-core/time/meter.ts';
import { goTo, routeHash } from '../app/route.ts';
import { ChordViewProvider } from '../chorus-ladder/ChordViewProvider.tsx';
import { useTyped } from '../common/drafts.ts';
import { ErrorNotice, Waiting } from '../common/notice.tsx';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { useAnswer } from '../common/use-answer.ts';
import { count, day, withSigns } from '../common/words.ts';
import { openTune } from '../engine/open-tune.ts';
import { hasMelody, Sheet } from './Sheet.tsx';

/** One tune: its sheet and its arrangements. */
export function TuneScreen({ id }: { readonly id: string }) {
  const client = useClient();
  const [asked, again] = useAnswer('tunes.get', { id });
  if (asked.state === 'waiting') {
    return (
      <div className="page">
        <div className="page-inner">
          <Waiting what="Opening the tune" />
        </div>
      </div>
    );
  }
  if (asked.state === 'failed') {
    return (
      <div className="page">
        <div className="page-inner">
          <ErrorNotice error={asked.error} onAgain={again} />
        </div>
      </div>
    );
  }
  const opened = openTune(asked.value.text);
  const { arrangements } = asked.value;
  const bin = async () => {
    const answer = await client.call('tunes.bin', { id });
    if (!answer.ok) {
      say(answer.error.message);
      return;
    }
    say('The tune is in the bin.', {
      label: 'Put it back',
      run: () =>
        void client.call('tunes.restore', { id }).then(() => goTo({ screen: 'tune', tune: id })),
    });
    goTo({ screen: 'library' });
  };
  return (
    <div className="page">
      <div className="page-inner">
        <div className="page-head">
          <div>
            <h1>{opened.ok ? opened.value.tune.title : 'A tune that cannot be read'}</h1>
            {opened.ok && <Facts {...opened.value} />}
          </div>
          <div className="page-actions">
            <a className="button button-ruled" href={routeHash({ screen: 'write', tune: id })}>
              Open its text
            </a>
            <button type="button" onClick={() => void bin()}>
              To the bin
            </button>
          </div>
        </div>
        <section className="arrangements" aria-label="Arrangements">
          <h2>Arrangements</h2>
          <ul>
            {arrangements.map((arrangement) => (
              <li key={arrangement.id}>
                <a href={routeHash({ screen: 'ladder', arrangement: arrangement.id })}>
                  <span className="arrangement-name">{arrangement.name}</span>
                  <span className="quiet small figures">
                    {count(arrangement.choruses, 'chorus', 'choruses')}, last touched{' '}
                    {day(arrangement.changedAt)}
                  </span>
                </a>
                <ArrangementTools id={arrangement.id} name={arrangement.name} onChanged={again} />
              </li>
            ))}
          </ul>
          <NewArrangement tuneId={id} names={arrangements.map(({ name }) => name)} />
        </section>
        {opened.ok ? (
          <ChordViewProvider musicKey={opened.value.analysis.key}>
            <Sheet tune={opened.value.tune} />
          </ChordViewProvider>
        ) : (
          <div className="notice notice-error">
            <p>{opened.message} Open its text and mend it there; nothing of it is lost.</p>
          </div>
        )}
      </div>
    </div>
  );
}

function Facts({ tune, analysis }: Extract<ReturnType<typeof openTune>, { ok: true }>['value']) {
  const held = analysis.spans.filter((span) => span.stretch).length;
  const facts = [
    withSigns(keyName(analysis.key)) + (analysis.keyInferred ? ' by ear' : ''),
    meterName(tune.meter),
    tune.feel,
    tune.tempo,
    count(analysis.chorus.bars.filter((bar) => bar.number > 0).length, 'bar'),
    held > 0 ? count(held, 'held chord') : 'no held chords',
    hasMelody(tune) ? 'with its melody' : null,
  ];
  return (
    <p className="quiet figures">
      {tune.credit && `${tune.credit}. `}
      {facts.filter((fact) => fact !== null).join(', ')}
    </p>
  );
}

function ArrangementTools({
  id,
  name,
  onChanged,
}: {
  readonly id: string;
  readonly name: string;
  readonly onChanged: () => void;
}) {
  const client = useClient();
  const duplicate = async () => {
    const answer = await client.call('arrangements.duplicate', { id, name: `${name}, again` });
    if (answer.ok) onChanged();
    else say(answer.error.message);
  };
  const bin = async () => {
    const answer = await client.call('arrangements.bin', { id });
    if (!answer.ok) {
      say(answer.error.message);
      return;
    }
    onChanged();
    say(`${name} is in the bin.`, {
      label: 'Put it back',
      run: () => void client.call('arrangements.restore', { id }).then(onChanged),
    });
  };
  return (
    <span className="arrangement-tools">
      <button type="button" onClick={() => void duplicate()} aria-label={`Copy ${name}`}>
        Copy
      </button>
      <button type="button" onClick={() => void bin()} aria-label={`${name} to the bin`}>
        To the bin
      </button>
    </span>
  );
}

const GOES = ['First', 'Second', 'Third', 'Fourth', 'Fifth', 'Sixth'];

/** What an arrangement is called that is given no name: the first go that is not there yet. */
function usualName(taken: readonly string[]): string {
  const free = GOES.map((nth) => `${nth} go`).find((name) => !taken.includes(name));
  return free ?? `Go ${taken.length + 1}`;
}

const NEW_ARRANGEMENT = { name: '', choruses: '4' };

function NewArrangement({
  tuneId,
  names,
}: {
  readonly tuneId: string;
  /** What the arrangements of the tune are called. */
  readonly names: readonly string[];
}) {
  const client = useClient();
  const first = names.length === 0;
  const usual = usualName(names);
  const { value, type, forget } = useTyped(`arrangement of ${tuneId}`, NEW_ARRANGEMENT);
  const { name, choruses } = value;
  const amount = Number(choruses);
  const fine = Number.isInteger(amount) && amount >= 1 && amount <= 64;
  const create = async () => {
    const answer = await client.call('arrangements.create', {
      tuneId,
      name: name.trim() || usual,
      choruses: amount,
    });
    if (!answer.ok) {
      say(answer.error.message);
      return;
    }
    forget();
    goTo({ screen: 'ladder', arrangement: answer.value.id });
  };
  return (
    <form
      className="new-arrangement"
      onSubmit={(event) => {
        event.preventDefault();
        void create();
      }}
    >
      {first && <p>No arrangement yet. How often does the band go round?</p>}
      <div className="field">
        <label htmlFor="new-name">Name</label>
        <input
          id="new-name"
          value={name}
          maxLength={200}
          placeholder={usual}
          onChange={(event) => type({ ...value, name: event.target.value })}
        />
      </div>
      <div className="field">
        <label htmlFor="new-choruses">Choruses</label>
        <input
          id="new-choruses"
          className="figures"
          inputMode="numeric"
          size={4}
          value={choruses}
          aria-invalid={!fine}
          onChange={(event) => type({ ...value, choruses: event.target.value })}
        />
      </div>
      <button type="submit" className={first ? 'button-main' : 'button-ruled'} disabled={!fine}>
        New arrangement
      </button>
    </form>
  );
}
