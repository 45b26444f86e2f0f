import { useEffect, useState } from 'react';
import type { Band, Chair, ChairRole } from '../../shared-core/arrangement/band.ts';
import { INSTRUMENTS, instrumentById, isInstrument } from '../../shared-core/pitch/instruments.ts';
import { readTuning, strungAs } from '../../shared-core/pitch/strings.ts';
import { newId } from '../common/ids.ts';
import { KeepingError, KeptState } from '../common/KeptState.tsx';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { moveItem, OrderButtons } from '../common/OrderButtons.tsx';
import { useClient } from '../common/shell-context.ts';
import { useKeeping } from '../common/use-keeping.ts';
import { useBand } from './band-store.ts';
import { ChairSetup } from './ChairSetup.tsx';
import { transpositionWords } from './transposition-words.ts';

const ROLES: readonly (readonly [ChairRole, string])[] = [
  ['comping', 'comps'],
  ['soloist', 'solos'],
  ['bass', 'plays the bass line'],
  ['drums', 'plays time'],
];

/** The band as it is being changed. */
interface Draft {
  readonly band: Band;
  /** Tunings written by hand, by chair, as they are typed. */
  readonly tunings: Readonly<Record<string, string>>;
}

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
  const client = useClient();
  const save = useBand((store) => store.save);
  const keeping = useKeeping<Draft>({
    name: `band ${band.id}`,
    kept: { band: inOrder(band), tunings: {} },
    isWhole: (draft) => missingIn(draft) === null,
    keep: (draft) => save(client, trimmed(draft.band)),
  });
  const { value, change } = keeping;
  const { chairs } = value.band;
  const setChairs = (next: readonly Chair[], when: 'soon' | 'now') =>
    change(
      { ...value, band: { ...value.band, chairs: next.map((one, order) => ({ ...one, order })) } },
      when,
    );
  return (
    <>
      <div className="page-head">
        <div className="field band-name">
          <label htmlFor="band-name">The band is called</label>
          <input
            id="band-name"
            value={value.band.name}
            maxLength={200}
            onChange={(event) =>
              change({ ...value, band: { ...value.band, name: event.target.value } }, 'soon')
            }
          />
        </div>
        <KeptState keeping={keeping} missing={missingIn(value)} />
      </div>
      <KeepingError keeping={keeping} />
      {chairs.length === 0 && (
        <Nothing>
          <p>Nobody sits here. A chair is one player with one chart: put the first one in.</p>
        </Nothing>
      )}
      <ol className="chairs">
        {chairs.map((chair, index) => {
          const put = (to: Chair, when: 'soon' | 'now', tunings = value.tunings) =>
            change(
              {
                band: {
                  ...value.band,
                  chairs: chairs.map((one) => (one.id === chair.id ? to : one)),
                },
                tunings,
              },
              when,
            );
          return (
            <li key={chair.id} className="chair">
              <div className="chair-body">
                <ChairFields
                  chair={chair}
                  onChange={(to, when) =>
                    put(
                      to,
                      when,
                      strungLike(chair, to) ? value.tunings : without(value.tunings, chair.id),
                    )
                  }
                />
                <ChairSetup
                  chair={chair}
                  typed={value.tunings[chair.id] ?? null}
                  onTuning={(typed, to) =>
                    put(
                      { ...chair, ...to },
                      typed === null ? 'now' : 'soon',
                      typed === null
                        ? without(value.tunings, chair.id)
                        : { ...value.tunings, [chair.id]: typed },
                    )
                  }
                  onChange={(to) => put({ ...chair, ...to }, 'now')}
                />
              </div>
              <OrderButtons
                what={chair.name || `chair ${index + 1}`}
                index={index}
                count={chairs.length}
                onMove={(to) => setChairs(moveItem(chairs, index, to), 'now')}
                onRemove={() =>
                  setChairs(
                    chairs.filter((one) => one.id !== chair.id),
                    'now',
                  )
                }
              />
            </li>
          );
        })}
      </ol>
      <button
        type="button"
        className="button-ruled"
        onClick={() => setChairs([...chairs, newChair(chairs.length)], 'now')}
      >
        Another chair
      </button>
    </>
  );
}

/** What has to be there before the band can be kept; null for nothing. */
function missingIn({ band, tunings }: Draft): string | null {
  if (band.name.trim() === '') return 'The band needs a name.';
  if (band.chairs.length === 0) return 'A band needs at least one chair.';
  for (const { id, name, instrument } of band.chairs) {
    if (name.trim() === '') return 'Every chair needs a name.';
    const typed = tunings[id];
    const strung = isInstrument(instrument) ? strungAs(instrumentById(instrument)) : null;
    if (typed !== undefined && strung && !readTuning(typed, strung).ok)
      return `${name} needs a tuning that can be played.`;
  }
  return null;
}

function inOrder(band: Band): Band {
  return { ...band, chairs: [...band.chairs].sort((a, b) => a.order - b.order) };
}

function trimmed(band: Band): Band {
  return {
    ...band,
    name: band.name.trim(),
    chairs: band.chairs.map((chair) => ({ ...chair, name: chair.name.trim() })),
  };
}

/** Whether two chairs have the same kind of strings, so that a tuning of one is one of the other. */
function strungLike(a: Chair, b: Chair): boolean {
  return strungAs(instrumentById(a.instrument)) === strungAs(instrumentById(b.instrument));
}

function without(
  tunings: Readonly<Record<string, string>>,
  id: string,
): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.entries(tunings).filter(([key]) => key !== id));
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
