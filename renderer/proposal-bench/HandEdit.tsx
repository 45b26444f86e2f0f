import { useEffect, useId, useMemo, useRef, useState } from 'react';
import type { Layer } from '../../shared-core/arrangement/model.ts';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { barsOfSegment } from '../chorus-ladder/standing.ts';
import { ChordSymbol } from '../common/ChordSymbol.tsx';
import { useTyped } from '../common/drafts.ts';
import { newId } from '../common/ids.ts';
import { useClient } from '../common/shell-context.ts';
import type { Place } from './actions.ts';
import { barText, readHand, standingHarmony } from './hand-text.ts';

const NOTHING_TYPED: Readonly<Record<number, string>> = {};

/** Changes typed bar by bar, read while they are typed. */
export function HandEdit({
  place,
  onDone,
}: {
  readonly place: Place;
  readonly onDone: () => void;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const { arrangement, chorus, segment } = place;
  const bars = useMemo(() => barsOfSegment(arrangement, segment), [arrangement, segment]);
  const [layer, setLayer] = useState<Layer>(place.placements[0]?.layer ?? 'band');
  const standing = useMemo(
    () =>
      standingHarmony(arrangement.open.analysis.chorus, arrangement.held.state, chorus.id, layer),
    [arrangement, chorus.id, layer],
  );
  const name = `hand ${arrangement.id} ${chorus.id} ${segment.start}`;
  const { value: typed, type, unkept, forget } = useTyped(name, NOTHING_TYPED);
  const texts = bars.map((bar) => typed[bar.index] ?? barText(bar, standing));
  const reading = readHand(bars, texts);
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => {
    form.current?.querySelector<HTMLInputElement>('.hand-bar input')?.select();
  }, []);
  const first = bars[0];
  const save = async () => {
    if (!reading.ok || !first) return;
    const done = await decide(client, {
      kind: 'edit',
      placement: {
        id: newId('h'),
        chorus: chorus.id,
        layer,
        start: first.start,
        length: bars.reduce((sum, bar) => sum + bar.length, 0),
        changes: reading.changes,
        origin: { kind: 'hand' },
      },
    });
    if (!done) return;
    forget();
    onDone();
  };
  return (
    <form
      ref={form}
      className="hand"
      aria-label="Changes by hand"
      onKeyDown={(event) => {
        if (event.key === 'Escape') onDone();
      }}
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <p className="quiet small">
        One line a bar. Chords share a bar evenly; put / for each beat a chord is held.
      </p>
      {bars.map((bar, index) => (
        <HandBar
          key={bar.index}
          number={bar.number}
          text={texts[index] ?? ''}
          problem={
            reading.ok
              ? null
              : (reading.problems.find((problem) => problem.bar === index)?.message ?? null)
          }
          onText={(text) => type({ ...typed, [bar.index]: text })}
        />
      ))}
      <p className="hand-preview" aria-live="polite">
        {reading.ok &&
          reading.changes.map((change) => (
            <ChordSymbol key={change.at} harmony={change.harmony} size={20} />
          ))}
      </p>
      <fieldset className="hand-layer">
        <legend className="field-label">Who plays them</legend>
        <label className="check">
          <input type="radio" checked={layer === 'band'} onChange={() => setLayer('band')} />
          The whole band
        </label>
        <label className="check">
          <input type="radio" checked={layer === 'soloist'} onChange={() => setLayer('soloist')} />
          The soloist, over the top
        </label>
      </fieldset>
      <div className="panel-tools">
        <button type="submit" className="button-main" disabled={!reading.ok}>
          Write them in
        </button>
        {unkept && (
          <button type="button" className="button-ruled" onClick={forget}>
            As it stands
          </button>
        )}
        <button type="button" onClick={onDone}>
          Leave it
        </button>
      </div>
    </form>
  );
}

function HandBar({
  number,
  text,
  problem,
  onText,
}: {
  readonly number: number;
  readonly text: string;
  readonly problem: string | null;
  readonly onText: (text: string) => void;
}) {
  const id = useId();
  return (
    <div className="hand-bar">
      <label htmlFor={id} className="figures">
        <span className="only-heard">Bar </span>
        {number}
      </label>
      <input
        id={id}
        value={text}
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        aria-invalid={problem !== null}
        aria-describedby={problem ? `${id}-problem` : undefined}
        onChange={(event) => onText(event.target.value)}
      />
      {problem && (
        <p id={`${id}-problem`} className="hand-problem">
          {problem}
        </p>
      )}
    </div>
  );
}
