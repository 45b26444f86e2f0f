import type { Database } from 'better-sqlite3';
import { ok } from '../../shared-core/result.ts';
import { transact } from './transact.ts';

/** Arrangements that a set list in use still asks for: they stay, and so do their tunes. */
const WANTED = `SELECT e.arrangement_id FROM setlist_entries e
  JOIN setlists s ON s.id = e.setlist_id WHERE s.binned_at IS NULL`;

/**
 * Removes for good what lies in the bin: set lists, arrangements, tunes with all their arrangements.
 * What a set list outside the bin still plays is left in the bin. Answers how many records went.
 */
export function emptyBin(db: Database): number {
  const removed = transact<number, never>(db, () => {
    let count = db.prepare('DELETE FROM setlists WHERE binned_at IS NOT NULL').run().changes;
    count += db
      .prepare(`DELETE FROM arrangements WHERE binned_at IS NOT NULL AND id NOT IN (${WANTED})`)
      .run().changes;
    const tunes = db
      .prepare(
        `SELECT id FROM tunes WHERE binned_at IS NOT NULL AND id NOT IN
           (SELECT tune_id FROM arrangements WHERE id IN (${WANTED}))`,
      )
      .pluck()
      .all() as string[];
    for (const id of tunes) {
      db.prepare('DELETE FROM tunes_search WHERE tune_id = ?').run(id);
      count += db.prepare('DELETE FROM tunes WHERE id = ?').run(id).changes;
    }
    return ok(count);
  });
  return removed.ok ? removed.value : 0;
}
