import { useMemo, useState } from 'react';
import type { Chair } from '../../shared-core/arrangement/band.ts';
import type { KeptLine } from '../../shared-core/arrangement/model.ts';
import { harmonyAt } from '../../shared-core/arrangement/realise.ts';
import { moveNote, stretchNote } from '../../shared-core/line/edit.ts';
import { insertNote, placeAfter } from '../../shared-core/line/insert.ts';
import type { Pitch } from '../../shared-core/pitch/spelled.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import { useSettings } from '../app/settings.ts';
import type { OpenArrangement } from '../chorus-ladder/ladder-store.ts';
import { ChordViewContext, CONCERT, useChordView } from '../common/chord-view.ts';
import { say } from '../common/said.tsx';
import { type LineView, lineView, nearestOf, onStep, readsOtherwise } from './line-view.ts';
import { type NoteAct, NoteStrip, staffWords } from './NoteStrip.tsx';
import { noteWords } from './note-words.ts';
import type { Desk } from './use-desk.ts';

/** The notes of a line, as the player reads them or as they sound, changed one by one. */
export function LineNotes({
  arrangement,
  line,
  chair,
  desk,
}: {
  readonly arrangement: OpenArrangement;
  readonly line: KeptLine;
  readonly chair: Chair;
  readonly desk: Desk;
}) {
  const { analysis } = arrangement.open;
  const concert = useSettings((store) => store.lineConcert);
  const [at, setAt] = useState(0);
  const chosen = Math.max(0, Math.min(at, line.notes.length - 1));
  const chords = useChordView();
  const plain = useMemo(() => ({ ...CONCERT, style: chords.style, scale: chords.scale }), [chords]);
  const view = useMemo(
    () => lineView(chair, analysis.key, concert),
    [chair, analysis.key, concert],
  );
  const shown = useMemo(() => shownAs(line, view), [line, view]);
  const harmony = useMemo(
    () => desk.harmony.map((event) => ({ ...event, harmony: view.harmony(event.harmony) })),
    [desk.harmony, view],
  );
  /** Puts the changed notes on the desk, says the one it is about, and goes there. */
  const put = (notes: KeptLine['notes'], index: number) => {
    desk.change({ ...line, notes });
    const next = Math.max(0, Math.min(index, notes.length - 1));
    const note = notes[next];
    const bar = note && barOf(arrangement, note.start);
    if (note && bar) say(noteWords({ ...note, pitch: view.show(note.pitch) }, bar));
    setAt(next);
    focusNote(next);
  };
  const insert = (place: Ticks | null, pitch: Pitch) => {
    const end = line.start + line.length;
    const notes = place === null ? null : insertNote(line.notes, place, pitch, line.start, end);
    if (!notes) say(REFUSED.insert);
    else
      put(
        notes,
        notes.findIndex(({ start }) => start === place),
      );
  };
  const act = (index: number, what: NoteAct) => {
    const note = line.notes[index];
    if (!note) return;
    if (what.kind === 'insert') {
      const pitch = what.letter
        ? view.sound(nearestOf(what.letter, view.show(note.pitch), view.key))
        : note.pitch;
      insert(placeAfter(line.notes, index, line.start + line.length), pitch);
      return;
    }
    const notes = changed(line, index, what, desk, arrangement);
    if (notes) put(notes, index);
    else say(REFUSED[what.kind]);
  };
  return (
    <>
      {readsOtherwise(chair, analysis.key) && (
        <fieldset className="line-pitch" aria-label="How the line is shown">
          <label className="check">
            <input
              type="radio"
              checked={!concert}
              onChange={() => useSettings.getState().set({ lineConcert: false })}
            />
            As {chair.name} reads it
          </label>
          <label className="check">
            <input
              type="radio"
              checked={concert}
              onChange={() => useSettings.getState().set({ lineConcert: true })}
            />
            Concert pitch
          </label>
        </fieldset>
      )}
      {line.notes.length === 0 ? (
        <p className="quiet small">No notes are left. Put one in, or ask for another line.</p>
      ) : (
        <p className="quiet small">
          {capital(staffWords(shown))}
          {readsOtherwise(chair, analysis.key) ? '' : ', concert pitch'}. Choose a note: arrows move
          it, <kbd>[</kbd> <kbd>]</kbd> shorten and lengthen it, <kbd>A</kbd>–<kbd>G</kbd> write the
          next one in, <kbd>Delete</kbd> takes it out. Or press an empty place on the staff.
        </p>
      )}
      <div className="panel-tools">
        <button
          type="button"
          className="button-ruled"
          onClick={() =>
            line.notes.length === 0
              ? insert(line.start, view.sound(onStep(MIDDLE, view.key)))
              : act(chosen, { kind: 'insert', letter: null })
          }
        >
          {line.notes.length === 0 ? 'Put a note in' : 'Put a note after it'}
        </button>
      </div>
      <ChordViewContext.Provider value={plain}>
        <NoteStrip
          line={shown}
          bars={analysis.chorus.bars}
          harmony={harmony}
          chosen={chosen}
          onChoose={setAt}
          onAct={act}
          onPlace={(place, step) => insert(place, view.sound(onStep(step, view.key)))}
        />
      </ChordViewContext.Provider>
    </>
  );
}

const REFUSED: Readonly<Record<NoteAct['kind'], string>> = {
  move: 'That is past the end of the piano.',
  stretch: 'No room: the next note begins there, or nothing would be left of it.',
  remove: 'There is no note to take out.',
  insert: 'No room for a note there: shorten this one first, or choose a rest.',
};

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Step of the staff where the first note of an empty line goes: B4, the middle line. */
const MIDDLE = 34;

function shownAs(line: KeptLine, view: LineView): KeptLine {
  return {
    ...line,
    notes: line.notes.map((note) => ({ ...note, pitch: view.show(note.pitch) })),
  };
}

function changed(
  line: KeptLine,
  index: number,
  act: Exclude<NoteAct, { kind: 'insert' }>,
  desk: Desk,
  { open: { analysis } }: OpenArrangement,
): KeptLine['notes'] | null {
  const note = line.notes[index];
  if (!note) return null;
  switch (act.kind) {
    case 'move': {
      const over = harmonyAt(desk.harmony, note.start);
      return moveNote(line.notes, index, act.semitones, over, analysis.key);
    }
    case 'stretch':
      return stretchNote(line.notes, index, act.eighths, line.start + line.length);
    case 'remove':
      return line.notes.filter((_, at) => at !== index);
  }
}

function barOf({ open }: OpenArrangement, at: number) {
  return open.analysis.chorus.bars.find((bar) => at >= bar.start && at < bar.start + bar.length);
}

/** Puts the focus on a note once it is drawn. */
function focusNote(index: number): void {
  requestAnimationFrame(() => {
    document.querySelector<HTMLElement>(`.strip [data-note="${index}"]`)?.focus();
  });
}
