import type { Pitch } from '../../../shared-core/pitch/spelled.ts';
import type { Ticks } from '../../../shared-core/time/meter.ts';
import type { MelodyEvent } from '../../../shared-core/tune/model.ts';
import type { PageBar } from '../../../shared-core/tune/page.ts';

/** A stretch of the voice within one bar: a note, a part of one, or a rest. */
export interface Piece {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly pitch: Pitch | null;
  readonly tiedFrom: boolean;
  readonly tiedTo: boolean;
}

/** The voice of each bar without gaps. Notes are cut where the next one starts and tied over bar lines. */
export function piecesOf(bars: readonly PageBar[]): Piece[][] {
  let start = 0;
  const notes: MelodyEvent[] = [];
  for (const { bar } of bars) {
    for (const note of bar.melody) notes.push({ ...note, at: start + note.at });
    start += bar.length;
  }
  const end = start;
  const voice = notes.map((note, i) => {
    const limit = notes[i + 1]?.at ?? end;
    return { ...note, length: Math.min(note.length, limit - note.at) };
  });
  start = 0;
  return bars.map(({ bar }) => {
    const from = start;
    start += bar.length;
    return barPieces(voice, from, start);
  });
}

function barPieces(voice: readonly MelodyEvent[], start: Ticks, end: Ticks): Piece[] {
  const pieces: Piece[] = [];
  let at = start;
  const rest = (to: Ticks) => {
    if (to > at) {
      pieces.push({ at: at - start, length: to - at, pitch: null, tiedFrom: false, tiedTo: false });
    }
  };
  for (const note of voice) {
    const stop = note.at + note.length;
    if (note.at >= end || stop <= start) continue;
    const from = Math.max(note.at, start);
    rest(from);
    pieces.push({
      at: from - start,
      length: Math.min(stop, end) - from,
      pitch: note.pitch,
      tiedFrom: note.at < start,
      tiedTo: stop > end,
    });
    at = Math.min(stop, end);
  }
  rest(end);
  return pieces;
}
