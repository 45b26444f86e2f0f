import type { ArrangementState } from '../../shared-core/arrangement/model.ts';
import { decodeState } from '../../shared-core/contract/codec.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import { state as stateSchema } from '../../shared-core/contract/schemas.ts';
import type { StoredArrangement } from '../library/arrangements.ts';
import { libraryError } from '../library/errors.ts';
import { fromLibrary } from './failures.ts';

/**
 * The one door through which a kept state comes back: its shape is checked before anything is made of it,
 * so that a library somebody wrote into is said to be damaged instead of printing a wrong chart.
 * Errors: `library/damaged` with the field, or the text that is no chord symbol.
 */
export function restoreState(stored: StoredArrangement): Answer<ArrangementState> {
  const shape = stateSchema.safeParse(stored.state);
  if (shape.success) return decodeState(shape.data);
  const field = shape.error.issues[0]?.path.map(String).join('.') ?? '';
  const detail = `arrangement ${stored.name}, ${field}`;
  return {
    ok: false,
    error: fromLibrary(libraryError('library/damaged', { id: stored.id, detail })),
  };
}
