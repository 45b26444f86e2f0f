import { useMemo, useState } from 'react';
import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import type { ChorusPlan, KeptLine } from '../../shared-core/arrangement/model.ts';
import { harmonyAt, realise } from '../../shared-core/arrangement/realise.ts';
import { moveNote, stretchNote } from '../../shared-core/line/edit.ts';
import { lineForChair } from '../../shared-core/line/for-chair.ts';
import { exampleLine } from '../../shared-core/line/line.ts';
import { soundingCompass } from '../../shared-core/performance/soloist.ts';
import { instrumentById } from '../../shared-core/pitch/instruments.ts';
import { type OpenArrangement, useLadder } from '../chorus-ladder/ladder-store.ts';
import { ChordViewContext, CONCERT, useChordView } from '../common/chord-view.ts';
import { newId } from '../common/ids.ts';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { count } from '../common/words.ts';
import { hearLine } from '../transport/hear.ts';
import { draftKey, sameNotes, useLines } from './line-store.ts';
import { type NoteAct, NoteStrip, staffWords } from './NoteStrip.tsx';
import { noteWords } from './note-words.ts';

const DEGREES: readonly KeptLine['degree'][] = ['plain', 'medium', 'busy'];

/** A line written out for one soloist in one chorus: asked for, heard, changed note by note, kept. */
export function LinePanel({
  arrangement,
  plan,
  band,
}: {
  readonly arrangement: OpenArrangement;
  readonly plan: ChorusPlan;
  readonly band: Band | null;
}) {
  const soloists = (band?.chairs ?? [])
    .filter((chair) => chair.role === 'soloist')
    .sort((a, b) => a.order - b.order);
  const [picked, setPicked] = useState('');
  const lines = Object.values(arrangement.held.state.lines);
  const withLine = lines.find((line) => line.chorus === plan.id)?.chair;
  const wanted = picked || withLine;
  const chair = soloists.find((one) => one.id === wanted) ?? soloists[0];
  if (!chair) return null;
  return (
    <section className="line-panel" aria-label="A written line">
      <h3>A written line</h3>
      <div className="field">
        <label htmlFor="line-chair">For</label>
        <select
          id="line-chair"
          value={chair.id}
          onChange={(event) => setPicked(event.target.value)}
        >
          {soloists.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}
            </option>
          ))}
        </select>
      </div>
      <ChairLine key={chair.id} arrangement={arrangement} plan={plan} chair={chair} />
    </section>
  );
}

interface ChairLineProps {
  readonly arrangement: OpenArrangement;
  readonly plan: ChorusPlan;
  readonly chair: Chair;
}

function ChairLine({ arrangement, plan, chair }: ChairLineProps) {
  const desk = useDesk(arrangement, plan, chair);
  const { shown, kept, draft } = desk;
  const [degree, setDegree] = useState<KeptLine['degree']>(shown?.degree ?? 'medium');
  return (
    <>
      <fieldset className="field">
        <legend className="field-label">How busy</legend>
        <div className="line-degrees">
          {DEGREES.map((one) => (
            <label key={one} className="check">
              <input
                type="radio"
                name="line-degree"
                checked={degree === one}
                onChange={() => setDegree(one)}
              />
              {one}
            </label>
          ))}
        </div>
      </fieldset>
      <div className="panel-tools">
        {!shown && (
          <button type="button" className="button-main" onClick={() => desk.write(degree, 1)}>
            Write a line
          </button>
        )}
        {shown && (
          <>
            <button
              type="button"
              className="button-ruled"
              onClick={() => hearLine(shown, plan.order)}
            >
              Hear it
            </button>
            <button
              type="button"
              className="button-ruled"
              onClick={() => desk.write(degree, shown.seed + 1)}
            >
              Another
            </button>
          </>
        )}
        {draft && (
          <button type="button" className="button-ruled" onClick={desk.back}>
            {desk.canGoBack ? 'Back a step' : 'Put it away'}
          </button>
        )}
        {draft && (
          <button type="button" className="button-main" onClick={() => void desk.keep()}>
            Keep the line
          </button>
        )}
        {kept && !draft && (
          <button type="button" className="button-ruled" onClick={() => void desk.takeOut()}>
            Take the line out
          </button>
        )}
      </div>
      {shown && <LineNotes arrangement={arrangement} line={shown} desk={desk} />}
    </>
  );
}

type Desk = ReturnType<typeof useDesk>;

/** The line on the desk for a chair, or the kept one, and what can be done with it. */
function useDesk(arrangement: OpenArrangement, plan: ChorusPlan, chair: Chair) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const key = draftKey(arrangement.id, plan.id, chair.id);
  const desk = useLines((store) => store.drafts.get(key)) ?? null;
  const { write, back, putAway } = useLines.getState();
  const { state } = arrangement.held;
  const { analysis } = arrangement.open;
  const realisation = useMemo(() => realise(analysis.chorus, state), [analysis, state]);
  const kept =
    Object.values(state.lines).find((line) => line.chorus === plan.id && line.chair === chair.id) ??
    null;
  const draft = desk && !(kept && sameNotes(kept.notes, desk.line.notes)) ? desk.line : null;
  const shown = draft ?? kept;
  const base = useMemo(
    () =>
      lineForChair({
        chorus: analysis.chorus,
        realisation,
        key: analysis.key,
        order: plan.order,
        compass: soundingCompass(instrumentById(chair.instrument)),
        degree: 'plain',
        seed: 0,
      }),
    [analysis, realisation, plan.order, chair.instrument],
  );
  return {
    shown,
    kept,
    draft,
    canGoBack: (desk?.before.length ?? 0) > 0,
    harmony: base.harmony,
    change: (line: KeptLine) => write(key, line, shown),
    write: (degree: KeptLine['degree'], seed: number) => {
      if (base.compass.high - base.compass.low < 12) {
        say(`A line needs an octave; ${chair.name} has less.`);
        return;
      }
      const notes = exampleLine({ ...base, degree, seed });
      const id = kept?.id ?? newId('l');
      const place = { chorus: plan.id, chair: chair.id, start: 0, length: analysis.chorus.length };
      write(key, { id, ...place, degree, seed, notes }, shown);
      say(`A line of ${count(notes.length, 'note')} for ${chair.name}.`);
    },
    back: () => back(key),
    keep: async () => {
      if (draft && (await decide(client, { kind: 'set-line', line: draft }))) putAway(key);
    },
    takeOut: async () => {
      if (kept) await decide(client, { kind: 'remove-line', line: kept.id });
    },
  };
}

function LineNotes({
  arrangement,
  line,
  desk,
}: {
  readonly arrangement: OpenArrangement;
  readonly line: KeptLine;
  readonly desk: Desk;
}) {
  const { analysis } = arrangement.open;
  const [at, setAt] = useState(0);
  const chosen = Math.max(0, Math.min(at, line.notes.length - 1));
  const view = useChordView();
  const concert = useMemo(() => ({ ...CONCERT, style: view.style, scale: view.scale }), [view]);
  const act = (index: number, what: NoteAct) => {
    const notes = changed(line, index, what, desk, arrangement);
    if (!notes) {
      say(REFUSED[what.kind]);
      return;
    }
    desk.change({ ...line, notes });
    const next = Math.min(index, notes.length - 1);
    const note = notes[next];
    const bar = note && barOf(arrangement, note.start);
    if (note && bar) say(noteWords(note, bar));
    if (what.kind === 'remove') {
      setAt(Math.max(0, next));
      focusNote(next);
    }
  };
  if (line.notes.length === 0) {
    return <p className="quiet small">No notes are left. Ask for another, or go back a step.</p>;
  }
  return (
    <>
      <p className="quiet small">
        Concert pitch, {staffWords(line)}. Arrows walk from note to note and move one up or down by
        a semitone, with Shift by an octave; <kbd>[</kbd> <kbd>]</kbd> shorten and lengthen,{' '}
        <kbd>Delete</kbd> takes out.
      </p>
      <ChordViewContext.Provider value={concert}>
        <NoteStrip
          line={line}
          bars={analysis.chorus.bars}
          harmony={desk.harmony}
          chosen={chosen}
          onChoose={setAt}
          onAct={act}
        />
      </ChordViewContext.Provider>
    </>
  );
}

const REFUSED: Readonly<Record<NoteAct['kind'], string>> = {
  move: 'That is past the end of the piano.',
  stretch: 'No room: the next note begins there, or nothing would be left of it.',
  remove: 'There is no note to take out.',
};

function changed(
  line: KeptLine,
  index: number,
  act: NoteAct,
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
