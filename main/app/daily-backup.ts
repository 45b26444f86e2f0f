import type { Library } from '../library/library.ts';
import { fromLibrary } from './failures.ts';
import { errorOf, type Log } from './faults.ts';

/**
 * Makes the day's backup, when there is none yet, while the window is used already. Trouble goes to the log:
 * the library itself is sound, and the next start tries again.
 *
 * @returns a promise that never fails; wait for it before the library is closed
 */
export async function backUpToday(library: Library, log: Log): Promise<void> {
  try {
    const made = await library.backUpDaily();
    if (!made.ok) log(fromLibrary(made.error).message);
  } catch (thrown) {
    log(errorOf(thrown, log, 'daily backup').message);
  }
}
