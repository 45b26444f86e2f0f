import { useEffect, useMemo, useRef, useState } from 'react';
import type { Chair } from '../../shared-core/arrangement/band.ts';
import type { ChorusPlan, KeptLine } from '../../shared-core/arrangement/model.ts';
import { realise } from '../../shared-core/arrangement/realise.ts';
import { lineForChair } from '../../shared-core/line/for-chair.ts';
import { soundingCompass } from '../../shared-core/performance/soloist.ts';
import { instrumentById } from '../../shared-core/pitch/instruments.ts';
import { type OpenArrangement, useLadder } from '../chorus-ladder/ladder-store.ts';
import { newId } from '../common/ids.ts';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { count } from '../common/words.ts';
import { lineElsewhere } from '../engine/line-elsewhere.ts';
import { draftKey, sameNotes, useLines } from './line-store.ts';

/** What lies on the desk, and what can be done with it. */
export type Desk = ReturnType<typeof useDesk>;

/** The line on the desk for a chair, or the kept one, and what can be done with it. */
export function useDesk(arrangement: OpenArrangement, plan: ChorusPlan, chair: Chair) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const key = draftKey(arrangement.id, plan.id, chair.id);
  const desk = useLines((store) => store.drafts.get(key)) ?? null;
  const { write, back, putAway, restore } = useLines.getState();
  useEffect(() => restore(key), [restore, key]);
  const [writing, setWriting] = useState(false);
  const stop = useRef(new AbortController());
  useEffect(() => () => stop.current.abort(), []);
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
    writing,
    stop: () => stop.current.abort(),
    write: async (degree: KeptLine['degree'], seed: number) => {
      const { compass } = base;
      if (compass.high - compass.low < 12) {
        say(`A line needs an octave; ${chair.name} has less.`);
        return;
      }
      stop.current.abort();
      stop.current = new AbortController();
      setWriting(true);
      const wish = { order: plan.order, compass, degree, seed };
      const { signal } = stop.current;
      const notes = await lineElsewhere(arrangement.open, state, wish, signal).finally(
        () => stop.current.signal === signal && setWriting(false),
      );
      if (!notes) return;
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
