/** Minutes and seconds: `4:05`; hours when there are any: `1:02:09`. */
export function clock(seconds: number): string {
  const whole = Math.round(seconds);
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  const rest = String(whole % 60).padStart(2, '0');
  return hours > 0 ? `${hours}:${String(minutes).padStart(2, '0')}:${rest}` : `${minutes}:${rest}`;
}

/** `1 bar`, `2 bars`. */
export function count(amount: number, one: string, many = `${one}s`): string {
  return `${amount} ${amount === 1 ? one : many}`;
}

/**
 * ASCII accidentals of keys, notes and chord symbols in a sentence as real signs: `Bb major` -> `B♭ major`,
 * `F#m7b5` -> `F♯m7♭5`.
 */
export function withSigns(sentence: string): string {
  return sentence
    .replace(/(?<=\b[A-G])(b{1,2}|#{1,2})/gu, signs)
    .replace(/\b[A-G]\S*/gu, (symbol) => symbol.replace(/(?<=.)[b#](?=\d)/gu, signs));
}

function signs(marks: string): string {
  return marks.replaceAll('b', '♭').replaceAll('#', '♯');
}

const DAY = new Intl.DateTimeFormat(undefined, { day: 'numeric', month: 'short', year: 'numeric' });
const MOMENT = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });

/** The day of a moment, in the habit of this machine. */
export function day(moment: string): string {
  return DAY.format(new Date(moment));
}

/** Day and time of a moment, in the habit of this machine. */
export function dayAndTime(moment: string): string {
  return MOMENT.format(new Date(moment));
}

/** Sizes people read: `84 KB`, `1.2 MB`. */
export function size(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  if (bytes < 1_000_000) return `${Math.round(bytes / 1000)} KB`;
  return `${(bytes / 1_000_000).toFixed(1)} MB`;
}
