import type { Database } from 'better-sqlite3';
import type { DeviceName } from '../../shared-core/analysis/model.ts';
import type { DeviceDegree } from '../../shared-core/devices/model.ts';

/** What one decision says about a device at a degree. */
export interface TasteMark {
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  readonly verdict: 'accepted' | 'rejected';
  /** 1 for one more, -1 when the leader thought better of an earlier one. */
  readonly by: 1 | -1;
}

/** How often a device at a degree was taken and laid aside. */
export interface TasteCount {
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  readonly accepted: number;
  readonly rejected: number;
}

/** Counts of the leader's decisions, by device and degree. */
export class Taste {
  readonly #db: Database;
  readonly #now: () => string;

  constructor(db: Database, now: () => string) {
    this.#db = db;
    this.#now = now;
  }

  /** Every count that is not nought, by name. */
  list(): readonly TasteCount[] {
    return this.#db
      .prepare(
        `SELECT device, degree, accepted, rejected FROM taste
         WHERE accepted + rejected > 0 ORDER BY device, degree`,
      )
      .all() as TasteCount[];
  }

  /** Counts a mark (1) or takes it back (-1). Never below nought: a reset may lie between. Call inside a transaction. */
  count(mark: TasteMark, direction: 1 | -1): void {
    const by = mark.by * direction;
    const accepted = mark.verdict === 'accepted' ? by : 0;
    this.#db
      .prepare(
        `INSERT INTO taste (device, degree, accepted, rejected, created_at, changed_at)
         VALUES (@device, @degree, max(0, @accepted), max(0, @rejected), @at, @at)
         ON CONFLICT (device, degree) DO UPDATE SET accepted = max(0, accepted + @accepted),
           rejected = max(0, rejected + @rejected), changed_at = @at`,
      )
      .run({
        device: mark.device,
        degree: mark.degree,
        accepted,
        rejected: by - accepted,
        at: this.#now(),
      });
  }

  /** Forgets every count. */
  reset(): void {
    this.#db.prepare('DELETE FROM taste').run();
  }
}
