import { useDeferredValue, useEffect, useMemo, useRef, useState } from 'react';
import type { ContractError } from '../../shared-core/contract/index.ts';
import { tuneMessage } from '../../shared-core/tune/messages.ts';
import type { TuneError } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { goTo } from '../app/route.ts';
import { useTyped } from '../common/drafts.ts';
import { ErrorNotice, Waiting } from '../common/notice.tsx';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { count } from '../common/words.ts';
import { hasMelody, Sheet } from './Sheet.tsx';

const BLANK = `title: 
key: 
meter: 4/4
tempo: 
feel: medium swing
form: A A B A

[A]
| 
[B]
| 
`;

/** A tune as text, with its sheet and every mistake beside it while it is typed. */
export function WriteScreen({ id }: { readonly id: string | null }) {
  const client = useClient();
  const [kept, setKept] = useState<string | null>(id === null ? BLANK : null);
  const [error, setError] = useState<ContractError | null>(null);
  useEffect(() => {
    if (id === null) return;
    void client.call('tunes.get', { id }).then((answer) => {
      if (answer.ok) setKept(answer.value.text);
      else setError(answer.error);
    });
  }, [client, id]);
  if (kept === null) {
    return (
      <div className="page">
        <div className="page-inner">
          {error ? <ErrorNotice error={error} /> : <Waiting what="Opening the text" />}
        </div>
      </div>
    );
  }
  return <Writing id={id} kept={kept} />;
}

function Writing({ id, kept }: { readonly id: string | null; readonly kept: string }) {
  const client = useClient();
  const area = useRef<HTMLTextAreaElement>(null);
  const { value: text, type, unkept, forget } = useTyped(`tune ${id ?? 'new'}`, kept);
  // What was typed another time is said to be so; what is typed now goes without saying.
  const [foundUnkept, setFoundUnkept] = useState(unkept);
  const settled = useDeferredValue(text);
  const reading = useMemo(() => readTune(settled), [settled]);
  const [error, setError] = useState<ContractError | null>(null);
  const [saving, setSaving] = useState(false);
  useEffect(() => {
    area.current?.focus();
  }, []);
  const save = async () => {
    setSaving(true);
    const answer = await client.call('tunes.save', id === null ? { text } : { id, text });
    setSaving(false);
    if (!answer.ok) {
      setError(answer.error);
      return;
    }
    forget();
    for (const warning of answer.value.warnings) say(warning);
    goTo({ screen: 'tune', tune: answer.value.id });
  };
  const untouched = id === null && text === BLANK;
  return (
    <div className="write">
      <section className="write-text" aria-label="Tune text">
        <div className="write-head">
          <h1>{id === null ? 'Write a tune' : 'Its text'}</h1>
          <div className="page-actions">
            <button type="button" onClick={() => history.back()}>
              Leave it
            </button>
            <button
              type="button"
              className="button-main"
              disabled={saving || reading.errors.length > 0 || untouched}
              onClick={() => void save()}
            >
              Keep it
            </button>
          </div>
        </div>
        {foundUnkept && (
          <div className="notice" role="status">
            <p>This is what you had typed and not kept.</p>
            <button
              type="button"
              className="button-ruled"
              onClick={() => {
                setFoundUnkept(false);
                const typed = text;
                forget();
                say('What you had typed is put away.', {
                  label: 'Get it back',
                  run: () => type(typed),
                });
              }}
            >
              {id === null ? 'Start with an empty sheet' : 'Go back to the kept text'}
            </button>
            <button type="button" onClick={() => setFoundUnkept(false)}>
              Go on with it
            </button>
          </div>
        )}
        <textarea
          ref={area}
          value={text}
          aria-label="Tune text"
          aria-invalid={!untouched && reading.errors.length > 0}
          aria-describedby="write-problems"
          spellCheck={false}
          autoCapitalize="off"
          onChange={(event) => type(event.target.value)}
        />
        {error && <ErrorNotice error={error} />}
        <Problems
          errors={untouched ? [] : reading.errors}
          onGo={(place) => goToPlace(area.current, text, place)}
        />
      </section>
      <section className="write-sheet" aria-label="Sheet">
        {reading.tune ? (
          <>
            <h2>
              {reading.tune.title}
              {hasMelody(reading.tune) && <span className="quiet small"> with its melody</span>}
            </h2>
            <Sheet tune={reading.tune} />
          </>
        ) : (
          <HowTo />
        )}
      </section>
    </div>
  );
}

function Problems({
  errors,
  onGo,
}: {
  readonly errors: readonly TuneError[];
  readonly onGo: (place: TuneError['place']) => void;
}) {
  return (
    <div id="write-problems" className="write-problems" role="status">
      {errors.length > 0 && <h2 className="small">{count(errors.length, 'thing')} to mend</h2>}
      <ul>
        {errors.slice(0, 50).map((error) => (
          <li key={`${error.code} ${error.place.line} ${error.place.column}`}>
            <button type="button" className="write-problem" onClick={() => onGo(error.place)}>
              {tuneMessage(error)}
            </button>
          </li>
        ))}
      </ul>
      {errors.length > 50 && <p className="quiet small">and {errors.length - 50} more.</p>}
    </div>
  );
}

/** Puts the cursor where a mistake is. */
function goToPlace(
  area: HTMLTextAreaElement | null,
  text: string,
  place: TuneError['place'],
): void {
  if (!area || place.line === undefined) return;
  const lines = text.split('\n');
  const before = lines.slice(0, place.line - 1).reduce((sum, line) => sum + line.length + 1, 0);
  const at = before + (place.column ?? 1) - 1;
  const word = /^\S*/u.exec(text.slice(at))?.[0].length ?? 0;
  area.focus();
  area.setSelectionRange(at, at + word);
}

/** How a tune is written down, for who has never done it. */
function HowTo() {
  return (
    <div className="how-to">
      <h2>How to write it down</h2>
      <p>
        Bars stand between strokes. Chords share a bar evenly; put a slash for each beat a chord is
        held. % says the bar before once more.
      </p>
      <pre>{`| Bbmaj7 | % | Cm7 | F7 |
| Ebmaj7 / / Edim7 | Bbmaj7 G7 | Cm7 F7 | Bb6 |`}</pre>
      <p>
        A letter in brackets starts a section; the line “form” says in which order they go. Repeats
        are |: and :|, endings 1. and 2. at the start of a bar.
      </p>
      <p>
        A melody, where you want one, goes under the bars it belongs to. With it, proposals are
        weighed against the tune as well.
      </p>
      <pre>{`melody: | quarter F4 A4 half D5 | eighth C5 Bb4 quarter A4 half rest |`}</pre>
    </div>
  );
}
