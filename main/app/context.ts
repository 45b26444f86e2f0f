import type { Band } from '../../shared-core/arrangement/band.ts';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type { ArrangementState } from '../../shared-core/arrangement/model.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { HostName } from '../../shared-core/contract/types.ts';
import type { WireState } from '../../shared-core/contract/wire.ts';
import type { StoredArrangement } from '../library/arrangements.ts';
import type { Library } from '../library/library.ts';
import { currentBand } from './band.ts';
import { answerOf, success } from './failures.ts';
import type { MadeFile } from './files.ts';
import type { Jobs } from './jobs.ts';
import { restoreState } from './restore.ts';
import { type KnownTune, knowTune } from './tune-text.ts';
import type { Works } from './works.ts';

/** What handing over many files came to. */
export interface Delivery {
  /** Folder they were written to, by its name; Electron. */
  readonly folder?: string;
  /** True: the host cannot write; the person downloads one archive. */
  readonly archive?: boolean;
}

/** What a use case works with. */
export interface AppContext {
  readonly library: Library;
  readonly host: HostName;
  readonly version: string;
  readonly jobs: Jobs;
  /** Loads the makers of charts and sound. */
  readonly works: () => Promise<Works>;
  /** Starts, the first time it is called, what charts are made with; does not wait for it. */
  readonly warmUp: () => void;
  /** Hands finished files to the person. */
  readonly deliver: (files: readonly MadeFile[]) => Promise<Answer<Delivery>>;
  /** Understood tunes by their text, so that a decision does not read its tune anew. */
  readonly known: Map<string, KnownTune>;
}

/** An arrangement with everything it is made of. */
export interface OpenArrangement {
  readonly stored: StoredArrangement;
  readonly state: ArrangementState;
  readonly known: KnownTune;
  readonly band: Band;
}

/** Understood tunes kept in memory. */
const KNOWN_LIMIT = 32;

/** The tune with an id, understood. Errors: `library/not-found`, or what is wrong with its text. */
export function knownTune(context: AppContext, id: string): Answer<KnownTune> {
  const text = answerOf(context.library.tunes.text(id));
  if (!text.ok) return text;
  const before = context.known.get(text.value);
  if (before) return success(before);
  const known = knowTune(text.value);
  if (!known.ok) return known;
  if (context.known.size >= KNOWN_LIMIT) {
    const oldest = context.known.keys().next().value;
    if (oldest !== undefined) context.known.delete(oldest);
  }
  context.known.set(text.value, known.value);
  return known;
}

/** An arrangement with its tune and the present band. */
export function openArrangement(context: AppContext, id: string): Answer<OpenArrangement> {
  const stored = answerOf(context.library.arrangements.get(id));
  if (!stored.ok) return stored;
  const state = restoreState(stored.value);
  if (!state.ok) return state;
  const known = knownTune(context, stored.value.tuneId);
  if (!known.ok) return known;
  return success({
    stored: stored.value,
    state: state.value,
    known: known.value,
    band: currentBand(context.library),
  });
}

/** The kept form of a fresh arrangement. */
export function freshState(name: string, choruses: number): WireState {
  return encode(emptyArrangement(name, choruses));
}
