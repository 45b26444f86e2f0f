import { useState } from 'react';
import type { Band } from '../../shared-core/arrangement/band.ts';
import type { Direction } from '../../shared-core/arrangement/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import type { Chorus } from '../../shared-core/tune/model.ts';
import { type OpenArrangement, useLadder } from '../chorus-ladder/ladder-store.ts';
import { barsWords } from '../chorus-ladder/ruler.ts';
import { newId } from '../common/ids.ts';
import { useClient } from '../common/shell-context.ts';

/** What a chair can be told, in the words of the charts. */
const WORDS: readonly Direction['words'][] = [
  'lay out',
  'two-feel',
  'walk',
  'pedal',
  'on cue',
  'hits',
  'time',
];

/** What chairs are told to do over a stretch of a chorus: two-feel, lay out, and so on. */
export function Directions({
  arrangement,
  chorus,
  start,
  length,
  band,
}: {
  readonly arrangement: OpenArrangement;
  readonly chorus: string;
  readonly start: Ticks;
  readonly length: Ticks;
  readonly band: Band | null;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const chairs = [...(band?.chairs ?? [])].sort((a, b) => a.order - b.order);
  const [chair, setChair] = useState('');
  const [words, setWords] = useState<Direction['words']>('lay out');
  const here = Object.values(arrangement.held.state.directions).filter(
    (one) => one.chorus === chorus && one.start < start + length && start < one.start + one.length,
  );
  const told = chair || chairs[0]?.id;
  const form = arrangement.open.analysis.chorus;
  const stretches = length === form.length ? stretchesOf(form) : [];
  const [where, setWhere] = useState(0);
  const stretch = stretches[where] ?? { start, length };
  if (!told) return null;
  const nameOf = (id: string) => chairs.find((one) => one.id === id)?.name ?? 'A chair that left';
  const tell = () =>
    void decide(client, {
      kind: 'set-direction',
      direction: {
        id: newId('d'),
        chorus,
        chair: told,
        start: stretch.start,
        length: stretch.length,
        words,
      },
    });
  return (
    <details className="directions" open={here.length > 0}>
      <summary>Tell a chair</summary>
      <ul>
        {here.map((one) => (
          <li key={one.id}>
            <span>
              <b>{nameOf(one.chair)}</b>: {one.words}{' '}
              <span className="quiet small">
                {barsWords(arrangement.open.analysis.chorus, one.start, one.length)}
              </span>
            </span>
            <button
              type="button"
              aria-label={`Take back ${nameOf(one.chair)}: ${one.words}`}
              onClick={() => void decide(client, { kind: 'remove-direction', direction: one.id })}
            >
              Take back
            </button>
          </li>
        ))}
      </ul>
      <div className="directions-new">
        <select
          aria-label="Whom to tell"
          value={told}
          onChange={(event) => setChair(event.target.value)}
        >
          {chairs.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}
            </option>
          ))}
        </select>
        <select
          aria-label="What to tell"
          value={words}
          onChange={(event) => setWords(event.target.value as Direction['words'])}
        >
          {WORDS.map((one) => (
            <option key={one} value={one}>
              {one}
            </option>
          ))}
        </select>
        {stretches.length > 2 && (
          <select
            aria-label="Where"
            value={where}
            onChange={(event) => setWhere(Number(event.target.value))}
          >
            {stretches.map((one, index) => (
              <option key={one.name} value={index}>
                {one.name}
              </option>
            ))}
          </select>
        )}
        <button type="button" className="button-ruled" onClick={tell}>
          Tell
        </button>
      </div>
    </details>
  );
}

interface Stretch {
  readonly name: string;
  readonly start: Ticks;
  readonly length: Ticks;
}

/** The whole chorus, then each of its sections: `A, bars 1–8`. */
function stretchesOf(form: Chorus): readonly Stretch[] {
  const tops = form.bars.filter((bar) => bar.startsSection);
  const sections = tops.map((bar, index): Stretch => {
    const length = (tops[index + 1]?.start ?? form.length) - bar.start;
    return {
      name: `${bar.label}, ${barsWords(form, bar.start, length)}`,
      start: bar.start,
      length,
    };
  });
  return [{ name: 'All of it', start: 0, length: form.length }, ...sections];
}
