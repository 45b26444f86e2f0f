import { useEffect, useState } from 'react';
import type { Band, Chair, ChairRole } from '../../shared-core/arrangement/band.ts';
import type { ContractError } from '../../shared-core/contract/index.ts';
import { INSTRUMENTS, instrumentById, isInstrument } from '../../shared-core/pitch/instruments.ts';
import { newId } from '../common/ids.ts';
import { ErrorNotice, Waiting } from '../common/notice.tsx';
import { moveItem, OrderButtons } from '../common/OrderButtons.tsx';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { useBand } from './band-store.ts';
import { transpositionWords } from './transposition-words.ts';

const ROLES: readonly (readonly [ChairRole, string])[] = [
  ['comping', 'comps'],
  ['soloist', 'solos'],
  ['bass', 'plays the bass line'],
  ['drums', 'plays time'],
];

/** Who sits in the band, on what, and what they do. */
export function BandScreen() {
  const client = useClient();
  const { band, error, load } = useBand();
  useEffect(() => void load(client), [client, load]);
  return (
    <div className="page">
      <div className="page-inner">
        {error && <ErrorNotice error={error} onAgain={() => void load(client)} />}
        {!band && !error && <Waiting what="Calling the band" />}
        {band && <BandForm key={JSON.stringify(band)} band={band} />}
      </div>
    </div>
  );
}

function BandForm({ band }: { readonly band: Band }) {
  const client = useClient();
  const save = useBand((store) => store.save);
  const [name, setName] = useState(band.name);
  const [chairs, setChairs] = useState<readonly Chair[]>(
    [...band.chairs].sort((a, b) => a.order - b.order),
  );
  const [error, setError] = useState<ContractError | null>(null);
  const next: Band = {
    ...band,
    name: name.trim(),
    chairs: chairs.map((chair, order) => ({ ...chair, name: chair.name.trim(), order })),
  };
  const changed = JSON.stringify(next) !== JSON.stringify(band);
  const change = (id: string, to: Partial<Chair>) =>
    setChairs(chairs.map((chair) => (chair.id === id ? { ...chair, ...to } : chair)));
  const submit = async () => {
    const failed = await save(client, next);
    setError(failed);
    if (!failed) say('The band is kept.');
  };
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      <div className="page-head">
        <div className="field band-name">
          <label htmlFor="band-name">The band is called</label>
          <input
            id="band-name"
            value={name}
            maxLength={200}
            onChange={(event) => setName(event.target.value)}
          />
        </div>
        <div className="page-actions">
          <button
            type="submit"
            className="button-main"
            disabled={!changed || next.name === '' || next.chairs.some((one) => one.name === '')}
          >
            Keep the band
          </button>
        </div>
      </div>
      {error && <ErrorNotice error={error} />}
      {chairs.length === 0 && <p className="bench-quiet">Nobody sits here yet.</p>}
      <ol className="chairs">
        {chairs.map((chair, index) => (
          <li key={chair.id} className="chair">
            <ChairFields chair={chair} onChange={(to) => change(chair.id, to)} />
            <OrderButtons
              what={chair.name || `chair ${index + 1}`}
              index={index}
              count={chairs.length}
              onMove={(to) => setChairs(moveItem(chairs, index, to))}
              onRemove={() => setChairs(chairs.filter((one) => one.id !== chair.id))}
            />
          </li>
        ))}
      </ol>
      <button
        type="button"
        className="button-ruled"
        onClick={() => setChairs([...chairs, newChair(chairs.length)])}
      >
        Another chair
      </button>
    </form>
  );
}

function newChair(order: number): Chair {
  return {
    id: newId('chair-'),
    name: 'Alto saxophone',
    instrument: 'alto-sax',
    role: 'soloist',
    order,
  };
}

function ChairFields({
  chair,
  onChange,
}: {
  readonly chair: Chair;
  readonly onChange: (to: Partial<Chair>) => void;
}) {
  const known = isInstrument(chair.instrument) ? instrumentById(chair.instrument) : null;
  return (
    <div className="chair-fields">
      <input
        aria-label="Name of the chair"
        value={chair.name}
        maxLength={200}
        onChange={(event) => onChange({ name: event.target.value })}
      />
      <select
        aria-label={`Instrument of ${chair.name}`}
        value={known?.id ?? chair.instrument}
        onChange={(event) => {
          const instrument = instrumentById(event.target.value);
          // A chair still called after its instrument is called after the new one.
          const renamed = chair.name === known?.name ? { name: instrument.name } : {};
          onChange({ instrument: instrument.id, ...renamed });
        }}
      >
        {INSTRUMENTS.map((instrument) => (
          <option key={instrument.id} value={instrument.id}>
            {instrument.name}
          </option>
        ))}
      </select>
      <select
        aria-label={`What ${chair.name} does`}
        value={chair.role}
        onChange={(event) => onChange({ role: event.target.value as ChairRole })}
      >
        {ROLES.map(([role, words]) => (
          <option key={role} value={role}>
            {words}
          </option>
        ))}
      </select>
      <p className="quiet small chair-reads">{known ? transpositionWords(known) : ''}</p>
    </div>
  );
}
