/** Why the library could not do what it was asked. The sentence is written in `main/app/messages.ts`. */
export interface LibraryError {
  readonly code:
    | 'library/not-found'
    | 'library/busy'
    | 'library/newer'
    | 'library/foreign'
    | 'library/damaged'
    | 'library/in-use'
    | 'library/full'
    | 'library/unwritable'
    | 'library/migration'
    | 'library/stale'
    | 'library/nothing-to-undo'
    | 'library/nothing-to-redo'
    | 'library/history-version'
    | 'library/backup';
  readonly data: Readonly<Record<string, string | number>>;
}

/** Builds a {@link LibraryError}. */
export function libraryError(
  code: LibraryError['code'],
  data: LibraryError['data'] = {},
): LibraryError {
  return { code, data };
}

/** What SQLite says, by the first part of its extended result codes, and what it means for the person. */
const MEANING: readonly (readonly [prefix: string, code: LibraryError['code']])[] = [
  ['SQLITE_BUSY', 'library/busy'],
  ['SQLITE_LOCKED', 'library/busy'],
  ['SQLITE_FULL', 'library/full'],
  ['SQLITE_READONLY', 'library/unwritable'],
  ['SQLITE_PERM', 'library/unwritable'],
  ['SQLITE_CANTOPEN', 'library/unwritable'],
  ['SQLITE_NOTADB', 'library/foreign'],
  ['SQLITE_CORRUPT', 'library/damaged'],
  ['SQLITE_IOERR', 'library/damaged'],
];

/**
 * The library error a thrown SQLite error stands for; null when it is none (a programmer error, to be
 * thrown on). Source: result codes of SQLite, sqlite.org/rescode.html.
 */
export function libraryErrorOf(thrown: unknown): LibraryError | null {
  if (!(thrown instanceof Error) || !('code' in thrown) || typeof thrown.code !== 'string') {
    return null;
  }
  const code = thrown.code;
  const row = MEANING.find(([prefix]) => code === prefix || code.startsWith(`${prefix}_`));
  return row ? libraryError(row[1], { detail: thrown.message }) : null;
}
