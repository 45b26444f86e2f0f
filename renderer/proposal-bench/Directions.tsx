import { useState } from 'react';
import type { Band } from '../../shared-core/arrangement/band.ts';
import type { Direction } from '../../shared-core/arrangement/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
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
  if (!told) return null;
  const nameOf = (id: string) => chairs.find((one) => one.id === id)?.name ?? 'A chair that left';
  const tell = () =>
    void decide(client, {
      kind: 'set-direction',
      direction: { id: newId('d'), chorus, chair: told, start, length, words },
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
        <button type="button" className="button-ruled" onClick={tell}>
          Tell
        </button>
      </div>
    </details>
  );
}
