import { expect, it } from 'vitest';
import { applyCommand, emptyArrangement } from '../arrangement/fold.ts';
import type { Command } from '../arrangement/model.ts';
import { chord, NO_CHORD } from '../chord/build.ts';
import { decodeCommand, decodeDiff, decodeState, encode } from './codec.ts';
import { parseRequest } from './parse.ts';

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

it('says which text is no chord symbol', () => {
  const wire = JSON.parse(JSON.stringify(encode(accept)).replace('Ebm6', 'Ebwrong'));
  const read = decodeCommand(wire);
  expect(read.ok ? null : [read.error.code, read.error.data?.text]).toEqual([
    'chord/quality',
    'Ebwrong',
  ]);
});
