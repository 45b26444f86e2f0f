import type { SetlistEntryRow, SetlistRecord } from '../../shared-core/contract/index.ts';

/** An entry as it is being changed: its words and seconds as they are typed. */
export interface EntryDraft {
  readonly arrangementId: string;
  readonly note: string;
  readonly pause: string;
}

/** A set as it is being changed. */
export interface SetDraft {
  readonly name: string;
  readonly entries: readonly EntryDraft[];
}

/** A kept set as it is changed. */
export function draftOf({ name, entries }: SetlistRecord): SetDraft {
  return {
    name,
    entries: entries.map(({ arrangementId, note, pause }) => ({
      arrangementId,
      note: note ?? '',
      pause: String(pause),
    })),
  };
}

/** What is kept of a set that is whole. */
export function inputOf({ name, entries }: SetDraft) {
  return {
    name: name.trim(),
    entries: entries.map(({ arrangementId, note, pause }) => ({
      arrangementId,
      note: note.trim() === '' ? null : note.trim(),
      pause: Number(pause),
    })),
  };
}

/** What has to be there before the set can be kept; null for nothing. */
export function missingIn({ name, entries }: SetDraft): string | null {
  if (name.trim() === '') return 'The set needs a name.';
  const wrong = entries.findIndex(({ pause }) => !isPause(pause));
  return wrong < 0 ? null : `Number ${wrong + 1}: whole seconds from 0 to 3600, please.`;
}

/** Whether seconds are such as a set can have after a tune. */
export function isPause(text: string): boolean {
  return /^\d{1,4}$/u.test(text.trim()) && Number(text) <= 3600;
}

/** What the shell said of an entry: of this very place, else of the same arrangement at another. */
export function rowFor(
  set: SetlistRecord,
  { arrangementId }: EntryDraft,
  index: number,
): SetlistEntryRow | null {
  const here = set.entries[index];
  if (here?.arrangementId === arrangementId) return here;
  return set.entries.find((one) => one.arrangementId === arrangementId) ?? null;
}
