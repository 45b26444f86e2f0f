import {
  type Meter,
  parseMeter,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../../shared-core/time/meter.ts';

const WHOLE = TICKS_PER_QUARTER * 4;

/** `M:` values: figures, `C`, `C|`; null for `none` and what is no meter. `2+3/8` is `5/8`. */
export function readAbcMeter(value: string): Meter | null {
  const text = value.trim().replace(/[()\s]/gu, '');
  const sum = /^([\d+]+)\/(\d+)$/u.exec(text);
  if (!sum) return parseMeter(text);
  const count = (sum[1] ?? '').split('+').reduce((total, part) => total + Number(part), 0);
  return parseMeter(`${count}/${sum[2]}`);
}

/** `L:` values as ticks. */
export function readUnit(value: string): Ticks | null {
  const match = /^\s*(\d{1,2})(?:\/(\d{1,3}))?\s*$/u.exec(value);
  const ticks = match ? (WHOLE * Number(match[1])) / Number(match[2] ?? 1) : 0;
  return Number.isInteger(ticks) && ticks > 0 ? ticks : null;
}
