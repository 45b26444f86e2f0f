import { Refusal } from './errors.ts';

/**
 * Bounds on what is read from a file that someone else wrote. Each is far above any real tune: they
 * end a reader before a hostile or broken file takes the machine's memory or time.
 */
export const LIMITS = {
  /** Bytes of a file as it comes. */
  fileBytes: 20 * 1024 * 1024,
  /** Bytes of text, or of a score taken out of its container, counted while it is inflated. */
  textBytes: 20 * 1024 * 1024,
  zipEntries: 256,
  /** Inflated bytes to compressed bytes. Scores reach about 30. */
  zipRatio: 200,
  xmlDepth: 64,
  xmlElements: 600_000,
  xmlAttributes: 64,
  tracks: 256,
  events: 1_000_000,
  bars: 4096,
  /** Times a stretch is played at one repeat sign. */
  passes: 99,
  parts: 128,
  tunes: 500,
  warnings: 50,
} as const;

/** Files from this size on, and all containers, are read in a worker. */
export const WORKER_FROM_BYTES = 64 * 1024;

/** Milliseconds a file may take. */
export const DEADLINE = 20_000;

/** Ends the reading when `count` passes a limit. `things` completes "more than 4096 ..." */
export function holdLimit(count: number, limit: number, things: string): void {
  if (count > limit) {
    throw new Refusal('import/limit', `it has more than ${limit} ${things}, which no tune needs.`);
  }
}
