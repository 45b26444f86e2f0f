import { create } from 'zustand';
import type { KeptLine, KeptNote } from '../../shared-core/arrangement/model.ts';
import { forgetDraft, readDraft, writeDraft } from '../common/drafts.ts';

/** A line that is being worked on, with the shapes it had before, newest last. */
export interface Draft {
  readonly line: KeptLine;
  readonly before: readonly KeptLine[];
}

interface LineStore {
  /** By {@link draftKey}. They outlive a walk to another chorus; keeping one hands it to the arrangement. */
  readonly drafts: ReadonlyMap<string, Draft>;
  /** Puts a line on the desk. `from` is what it was made from: the draft or the kept line there. */
  write(key: string, line: KeptLine, from: KeptLine | null): void;
  /** Goes back to the shape before the last change; without one the draft is put away. */
  back(key: string): void;
  /** Takes up a draft of another day, if there is one and none is on the desk. */
  restore(key: string): void;
  /** Clears the desk. */
  putAway(key: string): void;
}

/** How many shapes of a draft can be gone back to. */
const SHAPES = 200;

/** Lines that are not kept yet. */
export const useLines = create<LineStore>()((set, get) => {
  const put = (key: string, draft: Draft | null) => {
    const drafts = new Map(get().drafts);
    if (draft) {
      drafts.set(key, draft);
      writeDraft(`line ${key}`, draft.line);
    } else {
      drafts.delete(key);
      forgetDraft(`line ${key}`);
    }
    set({ drafts });
  };
  return {
    drafts: new Map(),
    write(key, line, from) {
      const before = get().drafts.get(key)?.before ?? [];
      put(key, { line, before: from ? [...before, from].slice(-SHAPES) : before });
    },
    back(key) {
      const draft = get().drafts.get(key);
      const line = draft?.before.at(-1);
      put(key, draft && line ? { line, before: draft.before.slice(0, -1) } : null);
    },
    restore(key) {
      if (get().drafts.has(key)) return;
      const line = readDraft<KeptLine>(`line ${key}`);
      if (line) put(key, { line, before: [] });
    },
    putAway: (key) => put(key, null),
  };
});

/** Where a draft belongs: one chair in one chorus of one arrangement. */
export function draftKey(arrangement: string, chorus: string, chair: string): string {
  return `${arrangement} ${chorus} ${chair}`;
}

/** Whether two lines sound the same, note by note. */
export function sameNotes(a: readonly KeptNote[], b: readonly KeptNote[]): boolean {
  return (
    a.length === b.length &&
    a.every((note, index) => {
      const other = b[index];
      return (
        other !== undefined &&
        note.start === other.start &&
        note.length === other.length &&
        note.pitch.pc === other.pitch.pc &&
        note.pitch.octave === other.pitch.octave
      );
    })
  );
}
