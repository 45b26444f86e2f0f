import { useEffect, useState } from 'react';
import type { Band, Chair, ChairRole } from '../../shared-core/arrangement/band.ts';
import { INSTRUMENTS, instrumentById, isInstrument } from '../../shared-core/pitch/instruments.ts';
import { newId } from '../common/ids.ts';
import { KeepingError, KeptState } from '../common/KeptState.tsx';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { moveItem, OrderButtons } from '../common/OrderButtons.tsx';
import { useClient } from '../common/shell-context.ts';
import { useBand } from './band-store.ts';
import { ChairSetup } from './ChairSetup.tsx';
import { transpositionWords } from './transposition-words.ts';
import { strungLike, useBandDraft } from './use-band-draft.ts';

const ROLES: readonly (readonly [ChairRole, string])[] = [
  ['comping', 'comps'],
  ['soloist', 'solos'],
  ['bass', 'plays the bass line'],
  ['drums', 'plays time'],
];

/** Who sits in the band, on what, and what they do. Every change is kept by itself. */
export function BandScreen() {
  const client = useClient();
  const { error, load } = useBand();
  const [band, setBand] = useState<Band | null>(null);
  useEffect(() => {
    void load(client).then(() => setBand(useBand.getState().band));
  }, [client, load]);
  return (
    <div className="page">
      <div className="page-inner">
        {error && <ErrorNotice error={error} onAgain={() => void load(client)} />}
        {!band && !error && <Waiting what="Calling the band" />}
        {band && <BandForm band={band} />}
      </div>
    </div>
  );
}

function BandForm({ band }: { readonly band: Band }) {
  const draft = useBandDraft(band);
  const { keeping, value, missing, setName, setChairs, put } = draft;
  const { chairs } = value.band;
  return (
    <>
      <div className="page-head">
        <div className="field band-name">
          <label htmlFor="band-name">The band is called</label>
          <input
            id="band-name"
            value={value.band.name}
            maxLength={200}
            onChange={(event) => setName(event.target.value)}
          />
        </div>
        <KeptState keeping={keeping} missing={missing} />
      </div>
      <KeepingError keeping={keeping} />
      {chairs.length === 0 && (
        <Nothing>
          <p>Nobody sits here. A chair is one player with one chart: put the first one in.</p>
        </Nothing>
      )}
      <ol className="chairs">
        {chairs.map((chair, index) => (
          <li key={chair.id} className="chair">
            <div className="chair-body">
              <ChairFields chair={chair} onChange={put} />
              <ChairSetup {...draft.setupOf(chair)} />
            </div>
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
    </>
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
  readonly onChange: (to: Chair, when: 'soon' | 'now') => void;
}) {
  const known = isInstrument(chair.instrument) ? instrumentById(chair.instrument) : null;
  return (
    <div className="chair-fields">
      <input
        aria-label="Name of the chair"
        value={chair.name}
        maxLength={200}
        onChange={(event) => onChange({ ...chair, name: event.target.value }, 'soon')}
      />
      <select
        aria-label={`Instrument of ${chair.name}`}
        value={known?.id ?? chair.instrument}
        onChange={(event) => {
          const instrument = instrumentById(event.target.value);
          // A chair still called after its instrument is called after the new one.
          const renamed = chair.name === known?.name ? { name: instrument.name } : {};
          const moved: Chair = { ...chair, instrument: instrument.id, ...renamed };
          // A guitar's strings are no bass's.
          const { strings: _strings, ...bare } = moved;
          onChange(strungLike(chair, moved) ? moved : bare, 'now');
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
        onChange={(event) => onChange({ ...chair, role: event.target.value as ChairRole }, 'now')}
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
