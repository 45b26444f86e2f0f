import { useSettings } from '../app/settings.ts';
import { useBand } from '../band/band-store.ts';
import { type OpenArrangement, useLadder } from '../chorus-ladder/ladder-store.ts';
import { hearChorus, hearFrom } from './hear.ts';
import { quarterBpm } from './scenes.ts';
import { changeSpeed, useTransport } from './transport-store.ts';

/** Tempo played at when neither arrangement nor tune names one; the performance takes the same. */
const USUAL_TEMPO = 120;

/** Hearing: what, how fast, over and over or once, and without whom. */
export function TransportBar({ arrangement }: { readonly arrangement: OpenArrangement }) {
  const focus = useLadder((store) => store.focus);
  const { sounding, loading, loop, setLoop, stop } = useTransport();
  const { countIn, set } = useSettings();
  const order = Math.max(0, focus.row - 1);
  return (
    <div className="transport" role="toolbar" aria-label="Hear">
      {sounding || loading ? (
        <button type="button" className="button-main transport-play" onClick={stop}>
          <StopSign /> Stop <kbd>Space</kbd>
        </button>
      ) : (
        <button
          type="button"
          className="button-main transport-play"
          onClick={() => hearFrom(order)}
        >
          <PlaySign /> Play <kbd>Space</kbd>
        </button>
      )}
      <button type="button" onClick={() => hearChorus(order)}>
        Chorus {order + 1}
      </button>
      <Tempo arrangement={arrangement} />
      <label className="check small">
        <input type="checkbox" checked={loop} onChange={(event) => setLoop(event.target.checked)} />
        Loop
      </label>
      <label className="check small">
        <input
          type="checkbox"
          checked={countIn}
          onChange={(event) => set({ countIn: event.target.checked })}
        />
        Count-in
      </label>
      <Mutes />
      <p className="transport-now quiet small" role="status">
        {loading ? 'Getting the instruments out' : (sounding?.name ?? '')}
      </p>
    </div>
  );
}

function Tempo({ arrangement }: { readonly arrangement: OpenArrangement }) {
  const { tempo, setTempo } = useTransport();
  const marked = arrangement.held.state.head.tempo ?? arrangement.open.tune.tempo ?? USUAL_TEMPO;
  const now = tempo ?? marked;
  return (
    <span className="transport-tempo">
      <label htmlFor="tempo" className="small">
        Tempo
      </label>
      <input
        id="tempo"
        type="range"
        min={40}
        max={320}
        step={1}
        value={now}
        onChange={(event) => {
          const value = Number(event.target.value);
          setTempo(value);
          changeSpeed(quarterBpm(arrangement.open, value));
        }}
      />
      <output htmlFor="tempo" className="figures">
        {now}
      </output>
      {tempo !== null && tempo !== marked && (
        <button
          type="button"
          className="small"
          onClick={() => {
            setTempo(null);
            changeSpeed(quarterBpm(arrangement.open, marked));
          }}
        >
          As marked
        </button>
      )}
    </span>
  );
}

/** One button a chair; pressed in, the chair is silent. */
function Mutes() {
  const band = useBand((store) => store.band);
  const { muted, toggleMuted } = useTransport();
  const chairs = [...(band?.chairs ?? [])].sort((a, b) => a.order - b.order);
  const drums = chairs.some((chair) => chair.role === 'drums')
    ? []
    : [{ id: 'drums', name: 'Drums' }];
  return (
    <fieldset className="transport-chairs" aria-label="Who plays">
      {[...chairs, ...drums].map((chair) => (
        <button
          key={chair.id}
          type="button"
          className="chair-button small"
          aria-pressed={!muted.has(chair.id)}
          onClick={() => toggleMuted(chair.id)}
        >
          {chair.name}
        </button>
      ))}
    </fieldset>
  );
}

function PlaySign() {
  return (
    <svg className="sign sign-small" viewBox="0 0 14 14" aria-hidden="true">
      <path d="M2 1l11 6-11 6z" fill="currentColor" />
    </svg>
  );
}

function StopSign() {
  return (
    <svg className="sign sign-small" viewBox="0 0 14 14" aria-hidden="true">
      <path d="M2 2h10v10H2z" fill="currentColor" />
    </svg>
  );
}
