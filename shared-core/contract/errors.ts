import type { CommandError } from '../arrangement/model.ts';
import type { ChordError } from '../chord/model.ts';
import type { TuneErrorCode } from '../tune/model.ts';

/** What the shell itself can have to say; the engine's own codes are added by {@link ErrorCode}. */
export const SHELL_ERROR_CODES = [
  'contract/unknown-method',
  'contract/request',
  'contract/answer',
  'contract/too-large',
  'contract/forbidden',
  'contract/unreachable',
  'contract/internal',
  'library/not-found',
  'library/busy',
  'library/newer',
  'library/foreign',
  'library/damaged',
  'library/in-use',
  'library/full',
  'library/unwritable',
  'library/migration',
  'library/stale',
  'library/nothing-to-undo',
  'library/nothing-to-redo',
  'library/history-version',
  'library/backup',
  'band/name',
  'band/chairs',
  'band/chair-id',
  'band/instrument',
  'band/strings',
  'export/chair',
  'export/failed',
  'export/no-job',
  'export/no-file',
  'export/busy',
  'export/dismissed',
  'setlist/empty',
  'setlist/entry',
  'file/missing',
  'file/unreadable',
  'file/unwritable',
  'file/too-large',
  'input/missing',
  'input/unknown',
  'input/value',
] as const;

/** Closed list of error codes of the contract. Import codes are closed in the readers. */
export type ErrorCode =
  | (typeof SHELL_ERROR_CODES)[number]
  | TuneErrorCode
  | ChordError['code']
  | CommandError['code']
  | `import/${string}`;

/** Where something is wrong. Lines, columns, bars and beats count from 1. */
export interface ErrorPlace {
  readonly file?: string;
  /** Name of the field of a request, dotted: `chairs.2.name`. */
  readonly field?: string;
  readonly line?: number;
  readonly column?: number;
  readonly bar?: number;
  readonly beat?: number;
  readonly section?: string;
}

/** One error as a value: what, where, figures, and the sentence for the person. */
export interface ContractError {
  readonly code: ErrorCode;
  readonly place?: ErrorPlace;
  readonly data?: Readonly<Record<string, string | number>>;
  /** One sentence that says what is wrong and what to do. */
  readonly message: string;
  /** True when the same request may succeed later, e.g. after another program let go of the library. */
  readonly retry?: boolean;
  /** Every mistake where there are several (a tune text), the first of them being this error itself. */
  readonly problems?: readonly Omit<ContractError, 'problems'>[];
}

/** Every answer of the contract. */
export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: ContractError };
