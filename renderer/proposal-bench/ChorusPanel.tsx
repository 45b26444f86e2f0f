import type { Band } from '../../shared-core/arrangement/band.ts';
import type { ChorusPlan, Command } from '../../shared-core/arrangement/model.ts';
import { type OpenArrangement, useLadder } from '../chorus-ladder/ladder-store.ts';
import { useTyped } from '../common/drafts.ts';
import { newId } from '../common/ids.ts';
import { useClient } from '../common/shell-context.ts';
import { LinePanel } from '../lines/LinePanel.tsx';
import { hearChorus } from '../transport/hear.ts';
import { Directions } from './Directions.tsx';

/** One chorus: what it is called, its intensity, where it stands among the others. */
export function ChorusPanel({
  arrangement,
  plan,
  band,
}: {
  readonly arrangement: OpenArrangement;
  readonly plan: ChorusPlan;
  readonly band: Band | null;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const {
    value: label,
    type,
    forget,
  } = useTyped(`chorus ${arrangement.id} ${plan.id}`, plan.label ?? '');
  const send = (command: Command) => void decide(client, command);
  const last = arrangement.choruses.length - 1;
  const saveLabel = () => {
    const words = label.trim() === '' ? null : label.trim();
    if (words === plan.label) forget();
    else {
      const { intensity } = plan;
      void decide(client, { kind: 'set-chorus', chorus: plan.id, label: words, intensity }).then(
        (done) => done && forget(),
      );
    }
  };
  return (
    <section className="chorus-panel" aria-label={`Chorus ${plan.order + 1}`}>
      <div className="field">
        <label htmlFor="chorus-label">Name on the charts</label>
        <input
          id="chorus-label"
          value={label}
          placeholder="none"
          maxLength={100}
          list="chorus-words"
          onChange={(event) => type(event.target.value)}
          onBlur={saveLabel}
          onKeyDown={(event) => event.key === 'Enter' && saveLabel()}
        />
        <datalist id="chorus-words">
          {suggestions(band).map((words) => (
            <option key={words} value={words} />
          ))}
        </datalist>
      </div>
      <fieldset className="field">
        <legend className="field-label">Intensity</legend>
        <div className="steps">
          {[0, 1, 2, 3, 4, 5].map((intensity) => (
            <label key={intensity} className="step">
              <input
                type="radio"
                name="intensity"
                checked={plan.intensity === intensity}
                onChange={() =>
                  send({ kind: 'set-chorus', chorus: plan.id, label: plan.label, intensity })
                }
              />
              <span className="figures">{intensity === 0 ? 'plain' : intensity}</span>
            </label>
          ))}
        </div>
      </fieldset>
      <Directions
        arrangement={arrangement}
        chorus={plan.id}
        start={0}
        length={arrangement.open.analysis.chorus.length}
        band={band}
      />
      <LinePanel arrangement={arrangement} plan={plan} band={band} />
      <div className="panel-tools">
        <button type="button" className="button-ruled" onClick={() => hearChorus(plan.order)}>
          Hear this chorus
        </button>
        <button
          type="button"
          className="button-ruled"
          onClick={() =>
            send({
              kind: 'add-chorus',
              chorus: {
                id: newId('c'),
                order: plan.order + 1,
                label: null,
                intensity: plan.intensity,
              },
            })
          }
        >
          Add one after it
        </button>
        <button
          type="button"
          className="button-ruled"
          disabled={plan.order === 0}
          onClick={() => send({ kind: 'move-chorus', chorus: plan.id, to: plan.order - 1 })}
        >
          Move up
        </button>
        <button
          type="button"
          className="button-ruled"
          disabled={plan.order === last}
          onClick={() => send({ kind: 'move-chorus', chorus: plan.id, to: plan.order + 1 })}
        >
          Move down
        </button>
        <button
          type="button"
          className="button-ruled"
          disabled={last === 0}
          onClick={() => send({ kind: 'remove-chorus', chorus: plan.id })}
        >
          Take it out
        </button>
      </div>
    </section>
  );
}

/** Words players put over choruses, with the soloists of this band. */
function suggestions(band: Band | null): readonly string[] {
  const solos = (band?.chairs ?? [])
    .filter((chair) => chair.role !== 'drums')
    .map((chair) => `${chair.name} solo`);
  return ['Head', ...solos, 'Trade fours', 'Shout', 'Head out'];
}
