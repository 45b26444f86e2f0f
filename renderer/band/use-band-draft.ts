import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import { instrumentById, isInstrument } from '../../shared-core/pitch/instruments.ts';
import { readTuning, strungAs } from '../../shared-core/pitch/strings.ts';
import { useClient } from '../common/shell-context.ts';
import { type Keeping, useKeeping } from '../common/use-keeping.ts';
import { useBand } from './band-store.ts';
import type { SetupProps } from './ChairSetup.tsx';

/** The band as it is being changed. */
interface Draft {
  readonly band: Band;
  /** Tunings written by hand, by chair, as they are typed. */
  readonly tunings: Readonly<Record<string, string>>;
}

/** The band on the way to being kept, and what can be changed in it. */
export interface BandDraft {
  readonly keeping: Keeping<Draft>;
  readonly value: Draft;
  /** What has to be there before it can be kept; null for nothing. */
  readonly missing: string | null;
  setName(name: string): void;
  setChairs(chairs: readonly Chair[]): void;
  /** Puts a changed chair in the place of the one with its id. */
  put(chair: Chair, when: 'soon' | 'now'): void;
  /** What the fields of a chair's setup are given. */
  setupOf(chair: Chair): SetupProps;
}

/** Changes a band; every change is kept by itself. */
export function useBandDraft(band: Band): BandDraft {
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
  const putWith = (chair: Chair, when: 'soon' | 'now', tunings: Draft['tunings']) => {
    const next = chairs.map((one) => (one.id === chair.id ? chair : one));
    change({ band: { ...value.band, chairs: next }, tunings }, when);
  };
  return {
    keeping,
    value,
    missing: missingIn(value),
    setName: (name) => change({ ...value, band: { ...value.band, name } }, 'soon'),
    setChairs: (next) => {
      const counted = next.map((one, order) => ({ ...one, order }));
      change({ ...value, band: { ...value.band, chairs: counted } }, 'now');
    },
    put: (chair, when) => {
      const before = chairs.find(({ id }) => id === chair.id);
      const same = before && strungLike(before, chair);
      putWith(chair, when, same ? value.tunings : without(value.tunings, chair.id));
    },
    setupOf: (chair) => ({
      chair,
      typed: value.tunings[chair.id] ?? null,
      onChange: (to) => putWith({ ...chair, ...to }, 'now', value.tunings),
      onTuning: (typed, to) =>
        typed === null
          ? putWith({ ...chair, ...to }, 'now', without(value.tunings, chair.id))
          : putWith({ ...chair, ...to }, 'soon', { ...value.tunings, [chair.id]: typed }),
    }),
  };
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
export function strungLike(a: Chair, b: Chair): boolean {
  return strungAs(instrumentById(a.instrument)) === strungAs(instrumentById(b.instrument));
}

function without(
  tunings: Readonly<Record<string, string>>,
  id: string,
): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.entries(tunings).filter(([key]) => key !== id));
}
