import type { Database } from 'better-sqlite3';
import type { Result } from '../../shared-core/result.ts';

/**
 * Runs `work` as one transaction that takes the write lock at once (waiting as long as the busy timeout
 * says), so that nothing it read can have changed when it writes. An error result or a thrown error
 * leaves the library as it was.
 */
export function transact<T, E>(db: Database, work: () => Result<T, E>): Result<T, E> {
  db.exec('BEGIN IMMEDIATE');
  try {
    const result = work();
    db.exec(result.ok ? 'COMMIT' : 'ROLLBACK');
    return result;
  } catch (thrown) {
    if (db.inTransaction) db.exec('ROLLBACK');
    throw thrown;
  }
}
