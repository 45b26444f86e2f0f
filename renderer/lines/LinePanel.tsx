import { useState } from 'react';
import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import type { ChorusPlan, KeptLine } from '../../shared-core/arrangement/model.ts';
import type { OpenArrangement } from '../chorus-ladder/ladder-store.ts';
import { Waiting } from '../common/notice.tsx';
import { hearLine } from '../transport/hear.ts';
import { LineNotes } from './LineNotes.tsx';
import { useDesk } from './use-desk.ts';

const DEGREES: readonly KeptLine['degree'][] = ['plain', 'medium', 'busy'];

/** A line written out for one soloist in one chorus: asked for, heard, changed note by note, kept. */
export function LinePanel({
  arrangement,
  plan,
  band,
}: {
  readonly arrangement: OpenArrangement;
  readonly plan: ChorusPlan;
  readonly band: Band | null;
}) {
  const soloists = (band?.chairs ?? [])
    .filter((chair) => chair.role === 'soloist')
    .sort((a, b) => a.order - b.order);
  const [picked, setPicked] = useState('');
  const lines = Object.values(arrangement.held.state.lines);
  const withLine = lines.find((line) => line.chorus === plan.id)?.chair;
  const wanted = picked || withLine;
  const chair = soloists.find((one) => one.id === wanted) ?? soloists[0];
  if (!chair) return null;
  return (
    <section className="line-panel" aria-label="A written line">
      <h3>A written line</h3>
      <div className="field">
        <label htmlFor="line-chair">For</label>
        <select
          id="line-chair"
          value={chair.id}
          onChange={(event) => setPicked(event.target.value)}
        >
          {soloists.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}
            </option>
          ))}
        </select>
      </div>
      <ChairLine key={chair.id} arrangement={arrangement} plan={plan} chair={chair} />
    </section>
  );
}

interface ChairLineProps {
  readonly arrangement: OpenArrangement;
  readonly plan: ChorusPlan;
  readonly chair: Chair;
}

function ChairLine({ arrangement, plan, chair }: ChairLineProps) {
  const desk = useDesk(arrangement, plan, chair);
  const { shown, kept, draft } = desk;
  const [degree, setDegree] = useState<KeptLine['degree']>(shown?.degree ?? 'medium');
  return (
    <>
      <fieldset className="field">
        <legend className="field-label">How busy</legend>
        <div className="line-degrees">
          {DEGREES.map((one) => (
            <label key={one} className="check">
              <input
                type="radio"
                name="line-degree"
                checked={degree === one}
                onChange={() => setDegree(one)}
              />
              {one}
            </label>
          ))}
        </div>
      </fieldset>
      <div className="panel-tools">
        {!shown && (
          <button type="button" className="button-main" onClick={() => void desk.write(degree, 1)}>
            Write a line
          </button>
        )}
        {shown && (
          <>
            <button
              type="button"
              className="button-ruled"
              onClick={() => hearLine(shown, plan.order)}
            >
              Hear it
            </button>
            <button
              type="button"
              className="button-ruled"
              onClick={() => void desk.write(degree, shown.seed + 1)}
            >
              Another
            </button>
          </>
        )}
        {draft && (
          <button type="button" className="button-ruled" onClick={desk.back}>
            {desk.canGoBack ? 'Back a step' : 'Put it away'}
          </button>
        )}
        {draft && (
          <button type="button" className="button-main" onClick={() => void desk.keep()}>
            Keep the line
          </button>
        )}
        {kept && !draft && (
          <button type="button" className="button-ruled" onClick={() => void desk.takeOut()}>
            Take the line out
          </button>
        )}
      </div>
      {desk.writing && (
        <div className="line-writing">
          <Waiting what={`Writing a line for ${chair.name}`} />
          <button type="button" className="button-ruled" onClick={desk.stop}>
            Stop writing
          </button>
        </div>
      )}
      {shown && <LineNotes arrangement={arrangement} line={shown} chair={chair} desk={desk} />}
    </>
  );
}
