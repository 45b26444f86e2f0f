import { expect, it } from 'vitest';
import { applyCommand, emptyArrangement } from '../arrangement/fold.ts';
import type { Command } from '../arrangement/model.ts';
import { chord, NO_CHORD } from '../chord/build.ts';
import { decodeCommand, decodeDiff, decodeState, encode } from './codec.ts';
import { parseRequest } from './parse.ts';
import { state as stateSchema } from './schemas.ts';

const accept: Command = {
  kind: 'accept',
  placement: {
    id: 'p1',
    chorus: 'c2',
    layer: 'soloist',
    start: 3840,
    length: 7680,
    changes: [
      { at: 0, length: 3840, harmony: chord(-3, 'm6') },
      { at: 3840, length: 1920, harmony: chord(6, 'm7b5', 4) },
      { at: 5760, length: 1920, harmony: NO_CHORD },
    ],
    origin: { kind: 'hand' },
  },
};

it('puts every harmony into words and leaves the rest alone', () => {
  const wire = encode(accept);
  expect(wire).toEqual({
    kind: 'accept',
    placement: {
      ...accept.placement,
      changes: [
        { at: 0, length: 3840, harmony: 'Ebm6' },
        { at: 3840, length: 1920, harmony: 'F#m7b5/E' },
        { at: 5760, length: 1920, harmony: 'N.C.' },
      ],
    },
  });
  expect(parseRequest('arrangements.apply', { id: 'a', revision: 0, command: wire }).ok).toBe(true);
});

it('gives back the same command, state and diff, with the very same qualities', () => {
  const applied = applyCommand(emptyArrangement('Saturday', 3), accept);
  if (!applied.ok) throw new Error(applied.error.code);
  const { state, diff } = applied.value;
  const throughJson = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;
  const command = decodeCommand(throughJson(encode(accept)));
  expect(command).toEqual({ ok: true, value: accept });
  const first = command.ok && command.value.kind === 'accept' && command.value.placement.changes[0];
  expect(first && first.harmony.kind === 'chord' && first.harmony.quality).toBe(
    chord(-3, 'm6').quality,
  );
  expect(decodeState(throughJson(encode(state)))).toEqual({ ok: true, value: state });
  expect(decodeDiff(throughJson(encode(diff)))).toEqual({ ok: true, value: diff });
});

const setLine: Command = {
  kind: 'set-line',
  line: {
    id: 'l1',
    chorus: 'c2',
    chair: 'tenor',
    start: 0,
    length: 7680,
    degree: 'medium',
    seed: 3,
    notes: [
      { start: 0, length: 480, pitch: { pc: -3, octave: 4 } },
      { start: 480, length: 960, pitch: { pc: 9, octave: 4 } },
    ],
  },
};

it('puts the pitches of a kept line into words, spelling and all, and reads them again', () => {
  const wire = encode(setLine);
  expect(wire.kind === 'set-line' && wire.line.notes.map((note) => note.pitch)).toEqual([
    'Eb4',
    'D#4',
  ]);
  expect(parseRequest('arrangements.apply', { id: 'a', revision: 0, command: wire }).ok).toBe(true);
  expect(decodeCommand(JSON.parse(JSON.stringify(wire)))).toEqual({ ok: true, value: setLine });
});

it('says which text is no pitch', () => {
  const wire = JSON.parse(JSON.stringify(encode(setLine)).replace('Eb4', 'H4'));
  const read = decodeCommand(wire);
  expect(read.ok ? null : read.error.message).toMatch(/"H4" is no pitch/u);
});

it('reads a state and a diff that were kept before lines could be', () => {
  const applied = applyCommand(emptyArrangement('Saturday', 3), accept);
  if (!applied.ok) throw new Error(applied.error.code);
  const { lines: _state, ...state } = encode(applied.value.state);
  const { lines: _diff, ...diff } = encode(applied.value.diff);
  expect(decodeState(state)).toEqual({ ok: true, value: applied.value.state });
  expect(decodeDiff(diff)).toEqual({ ok: true, value: applied.value.diff });
  expect(stateSchema.parse(state).lines).toEqual({});
});

it('says which text is no chord symbol', () => {
  const wire = JSON.parse(JSON.stringify(encode(accept)).replace('Ebm6', 'Ebwrong'));
  const read = decodeCommand(wire);
  expect(read.ok ? null : [read.error.code, read.error.data?.text]).toEqual([
    'chord/quality',
    'Ebwrong',
  ]);
});
