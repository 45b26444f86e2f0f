import { assertNever } from '../../shared-core/result.ts';
import type { LibraryError } from '../library/errors.ts';

/** The sentence a person reads for a library error: what is wrong, and what to do. */
export function libraryMessage(error: LibraryError): string {
  const { code, data } = error;
  const file = data.file ?? 'the library';
  switch (code) {
    case 'library/not-found':
      return `There is nothing with the id ${data.id} in this library; look it up in the list again.`;
    case 'library/busy':
      return 'Another program is holding the library just now; nothing in it was changed. Try again in a moment.';
    case 'library/newer':
      return `${capital(file)} was made by a newer Changewright (library version ${data.version}, this program knows ${data.known}); install the newer program to open it.`;
    case 'library/foreign':
      return `${capital(file)} is not a Changewright library; choose another file.`;
    case 'library/damaged':
      return `${capital(file)} is damaged (${data.detail}); open the newest backup in the folder backups beside it.`;
    case 'library/in-use':
      return `${capital(file)} is already open in another window; go on there, or close it first.`;
    case 'library/full':
      return 'The disk is full; nothing was changed. Make room and try again.';
    case 'library/unwritable':
      return `${capital(file)} cannot be written (${data.detail ?? 'no permission'}); choose another place for the library.`;
    case 'library/migration':
      return `${capital(file)} could not be brought to version ${data.to} (${data.detail}); it was left as it was, and a backup lies beside it. Go on with the program that opened it before.`;
    case 'library/stale':
      return 'The arrangement was changed elsewhere meanwhile; it was loaded again, repeat the decision if you still want it.';
    case 'library/nothing-to-undo':
      return 'There is nothing to undo.';
    case 'library/nothing-to-redo':
      return 'There is nothing to redo.';
    case 'library/history-version':
      return `This decision was kept by another version of the program (${data.version}) and cannot be taken back here; the arrangement is unharmed, change it by hand instead.`;
    case 'library/backup':
      return `The backup could not be made (${data.detail}); see that the folder backups beside the library can be written.`;
    default:
      return assertNever(code);
  }
}

function capital(words: string | number): string {
  const text = String(words);
  return text.startsWith('the ') ? `T${text.slice(1)}` : text;
}
