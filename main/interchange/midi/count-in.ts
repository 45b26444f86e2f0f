import type { MidiFile } from './file.ts';

/** General MIDI keeps this channel for drums (RP-003). */
export const DRUM_CHANNEL = 10;

const MARKER = 6;

/**
 * Tick of the file at which the tune begins: 0, or the end of the bars counted in. Those begin with a marker
 * that says so at tick 0 and end at the next marker; nothing but drums plays in them.
 */
export function countedIn({ texts, notes }: MidiFile): number {
  const markers = texts.filter(({ type }) => type === MARKER);
  const counts = markers.some(({ tick, text }) => tick === 0 && /^count(ed)?[- ]?in$/iu.test(text));
  const end = markers.find(({ tick }) => tick > 0)?.tick;
  if (!counts || end === undefined) return 0;
  const played = notes.some(({ start, channel }) => start < end && channel !== DRUM_CHANNEL);
  return played ? 0 : end;
}
