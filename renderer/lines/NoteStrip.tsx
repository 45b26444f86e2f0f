import { type KeyboardEvent, useRef } from 'react';
import type { KeptLine, KeptNote } from '../../shared-core/arrangement/model.ts';
import { type Letter, midiOf, staffStep } from '../../shared-core/pitch/spelled.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import type { FormBar, TimedHarmony } from '../../shared-core/tune/model.ts';
import { ChordSymbol } from '../common/ChordSymbol.tsx';
import { accidentalSign, noteWords, pitchSign } from './note-words.ts';

/** What a key does to the chosen note. */
export type NoteAct =
  | { readonly kind: 'move'; readonly semitones: number }
  | { readonly kind: 'stretch'; readonly eighths: number }
  | { readonly kind: 'remove' }
  /** After the chosen note: a note of that letter, or the same once more. */
  | { readonly kind: 'insert'; readonly letter: Letter | null };

/** Bottom lines of the two staves, in diatonic steps from C0. */
const TREBLE = 30;
const BASS = 18;
/** Room before the first beat of a bar, in ticks. */
const LEAD = 240;
/** An eighth, in ticks: where notes may be put. */
const GRID = 480;
/** Height of a step and of the space kept over and under the notes, px. */
const STEP = 4;
const AIR = 8;

/** A line bar by bar: note heads on a staff, one of them chosen, all of them within reach of the arrows. */
export function NoteStrip({
  line,
  bars,
  harmony,
  chosen,
  onChoose,
  onAct,
  onPlace,
}: {
  readonly line: KeptLine;
  readonly bars: readonly FormBar[];
  /** What the soloist plays over, chorus ticks. */
  readonly harmony: readonly TimedHarmony[];
  readonly chosen: number;
  readonly onChoose: (index: number) => void;
  readonly onAct: (index: number, act: NoteAct) => void;
  /** An empty place of the staff was pressed: tick of the chorus, step of the staff. */
  readonly onPlace: (at: Ticks, step: number) => void;
}) {
  const box = useRef<HTMLOListElement>(null);
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const to = walk(event.key, chosen, line.notes.length);
    const act = actOf(event);
    if (to === null && !act) return;
    event.preventDefault();
    event.stopPropagation();
    if (act) onAct(chosen, act);
    if (to !== null) {
      onChoose(to);
      box.current?.querySelector<HTMLElement>(`[data-note="${to}"]`)?.focus();
    }
  };
  const staff = staffOf(line);
  return (
    <ol ref={box} className="strip" aria-label="Notes of the line" onKeyDown={onKey}>
      {bars.map((bar) => (
        <li key={bar.index} className="strip-bar" aria-label={`Bar ${bar.number}`}>
          <span className="strip-head">
            <span className="figures small quiet">{bar.number}</span>
            {harmony
              .filter((one) => one.start >= bar.start && one.start < bar.start + bar.length)
              .map((one) => (
                <ChordSymbol key={one.start} harmony={one.harmony} size={15} />
              ))}
          </span>
          {/* biome-ignore lint/a11y/noStaticElementInteractions: by keys a note is put in after another one */}
          {/* biome-ignore lint/a11y/useKeyWithClickEvents: as above */}
          <span
            className="strip-staff"
            style={{ height: staff.height }}
            onClick={(event) => {
              if (event.target !== event.currentTarget) return;
              const box = event.currentTarget.getBoundingClientRect();
              const along = ((event.clientX - box.left) / box.width) * (bar.length + LEAD) - LEAD;
              const eighths = Math.max(0, Math.round(along / GRID));
              onPlace(bar.start + eighths * GRID, staff.stepAt(event.clientY - box.top));
            }}
          >
            {[0, 2, 4, 6, 8].map((rise) => (
              <span
                key={rise}
                className="strip-line"
                style={{ top: staff.top(staff.bottom + rise) }}
              />
            ))}
            {line.notes.map((note) => {
              const held = heldIn(note, bar);
              return (
                held && (
                  <span
                    key={note.start}
                    className="note-hold"
                    style={{ ...held, top: staff.top(staffStep(note.pitch)) }}
                  />
                )
              );
            })}
            {line.notes.map(
              (note, index) =>
                note.start >= bar.start &&
                note.start < bar.start + bar.length && (
                  <button
                    // biome-ignore lint/suspicious/noArrayIndexKey: a note is its place in the line
                    key={index}
                    type="button"
                    data-note={index}
                    className={index === chosen ? 'note note-chosen' : 'note'}
                    tabIndex={index === chosen ? 0 : -1}
                    aria-label={noteWords(note, bar)}
                    title={pitchSign(note.pitch)}
                    style={{
                      left: `${((note.start - bar.start + LEAD) / (bar.length + LEAD)) * 100}%`,
                      top: staff.top(staffStep(note.pitch)),
                    }}
                    onFocus={() => onChoose(index)}
                    onClick={() => onChoose(index)}
                  >
                    <span className="note-sign">{accidentalSign(note.pitch)}</span>
                    <span className={note.length >= 1920 ? 'note-head note-open' : 'note-head'} />
                  </button>
                ),
            )}
          </span>
        </li>
      ))}
    </ol>
  );
}

/** How long a note is held, as a stroke through the bar; null in bars it does not sound in. */
function heldIn(note: KeptNote, bar: FormBar): { left: string; width: string } | null {
  const from = Math.max(note.start, bar.start) - bar.start;
  const to = Math.min(note.start + note.length, bar.start + bar.length) - bar.start;
  if (to <= from) return null;
  const share = (ticks: Ticks) => `${(ticks / (bar.length + LEAD)) * 100}%`;
  // A little short of the next note, so that two of the same pitch are two.
  return { left: share(from + LEAD), width: share(Math.max(60, to - from - 120)) };
}

function walk(key: string, at: number, count: number): number | null {
  const last = count - 1;
  if (key === 'ArrowRight') return Math.min(last, at + 1);
  if (key === 'ArrowLeft') return Math.max(0, at - 1);
  if (key === 'Home') return 0;
  return key === 'End' ? last : null;
}

function actOf({ key, shiftKey }: KeyboardEvent): NoteAct | null {
  const size = shiftKey ? 12 : 1;
  if (key === 'ArrowUp') return { kind: 'move', semitones: size };
  if (key === 'ArrowDown') return { kind: 'move', semitones: -size };
  if (key === '[') return { kind: 'stretch', eighths: -1 };
  if (key === ']') return { kind: 'stretch', eighths: 1 };
  if (key === 'i' || key === 'Insert') return { kind: 'insert', letter: null };
  const letter = key.length === 1 ? key.toUpperCase() : '';
  if (isLetter(letter)) return { kind: 'insert', letter };
  return key === 'Delete' || key === 'Backspace' ? { kind: 'remove' } : null;
}

function isLetter(text: string): text is Letter {
  return /^[A-G]$/u.test(text);
}

/** The staff on which most of the line lies, and room for all of it. */
function staffOf(line: KeptLine) {
  const sum = line.notes.reduce((all, note) => all + midiOf(note.pitch), 0);
  const middle = line.notes.length === 0 ? 71 : sum / line.notes.length;
  const bottom = middle < 57 ? BASS : TREBLE;
  const steps = line.notes.map((note) => staffStep(note.pitch));
  const high = Math.max(bottom + 8, ...steps);
  const low = Math.min(bottom, ...steps);
  return {
    bottom,
    height: (high - low) * STEP + 2 * AIR,
    top: (step: number) => (high - step) * STEP + AIR,
    stepAt: (y: number) => high - Math.round((y - AIR) / STEP),
  };
}

/** Which staff a line is shown on, in words. */
export function staffWords(line: KeptLine): string {
  return staffOf(line).bottom === BASS ? 'bass clef' : 'treble clef';
}
