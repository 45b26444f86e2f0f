/** Everything that can keep a file from being read. */
export type ImportErrorCode =
  | 'import/empty'
  | 'import/too-large'
  | 'import/unknown-format'
  | 'import/limit'
  | 'import/xml'
  | 'import/xml-entity'
  | 'import/xml-kind'
  | 'import/zip'
  | 'import/midi'
  | 'import/abc'
  | 'import/tune-text'
  | 'import/no-bars'
  | 'import/deadline'
  | 'import/aborted';

/** Why a file was not read. The file's name is in the sentence. Lines and bars count from 1. */
export interface ImportError {
  readonly code: ImportErrorCode;
  readonly message: string;
  readonly line?: number;
  readonly bar?: number;
}

/** Thrown inside a reader to leave it at once; caught where the reader is called. Never crosses a module's edge. */
export class Refusal extends Error {
  readonly code: ImportErrorCode;
  readonly line: number | undefined;
  readonly column: number | undefined;
  readonly bar: number | undefined;

  constructor(
    code: ImportErrorCode,
    message: string,
    place: { readonly line?: number; readonly column?: number; readonly bar?: number } = {},
  ) {
    super(message);
    this.code = code;
    this.line = place.line;
    this.column = place.column;
    this.bar = place.bar;
  }
}

/** The typed error of a refusal, with the file's name before the sentence. */
export function errorOf(name: string, refusal: Refusal): ImportError {
  const { code, line, column, bar, message } = refusal;
  const place = Object.entries({ line, column, bar })
    .map(([word, figure]) => (figure === undefined ? '' : `, ${word} ${figure}`))
    .join('');
  return {
    code,
    message: `${name}${place}: ${message}`,
    ...(line === undefined ? {} : { line }),
    ...(bar === undefined ? {} : { bar }),
  };
}
