import { describe, expect, it } from 'vitest';
import { isMethodName, METHOD_NAMES, METHODS } from './methods.ts';
import { parseAnswer, parseRequest } from './parse.ts';

const placement = {
  id: 'p1',
  chorus: 'c1',
  layer: 'soloist',
  start: 0,
  length: 3840,
  changes: [{ at: 0, length: 3840, harmony: 'Abm6' }],
  origin: { kind: 'hand' },
};

describe('the contract', () => {
  it('names every method as area.verb', () => {
    expect(METHOD_NAMES.filter((name) => !/^[a-z]+\.[a-z][A-Za-z]*$/u.test(name))).toEqual([]);
  });

  it('takes no inherited property for a method', () => {
    expect([isMethodName('toString'), isMethodName('tunes.list')]).toEqual([false, true]);
  });

  it('passes a command with its harmonies as text', () => {
    const request = { id: 'a1', revision: 3, command: { kind: 'accept', placement } };
    expect(parseRequest('arrangements.apply', request)).toEqual({ ok: true, value: request });
  });

  it('passes commands inside a batch inside a batch', () => {
    const inner = { kind: 'batch', label: 'Plan', commands: [{ kind: 'accept', placement }] };
    const request = {
      id: 'a1',
      revision: 0,
      command: { kind: 'batch', label: 'Plan', commands: [inner] },
    };
    expect(parseRequest('arrangements.apply', request).ok).toBe(true);
  });

  it('names the field that is wrong', () => {
    const answer = parseRequest('arrangements.create', { tuneId: 't1', name: ' ', choruses: 2 });
    expect(answer).toEqual({
      ok: false,
      error: {
        code: 'contract/request',
        place: { field: 'name' },
        data: { method: 'arrangements.create' },
        message: 'The request arrangements.create was not understood: name: is empty.',
      },
    });
  });

  it.each([
    ['a fraction of a tick', { ...placement, start: 0.5 }],
    ['a path for an id', { ...placement, id: '../../etc/passwd' }],
    ['no changes', { ...placement, changes: [] }],
    ['a field it does not know', { ...placement, shout: true }],
  ])('refuses a placement with %s', (_what, wrong) => {
    const request = { id: 'a1', revision: 0, command: { kind: 'edit', placement: wrong } };
    expect(parseRequest('arrangements.apply', request).ok).toBe(false);
  });

  it('refuses fields it does not know, for every method', () => {
    const passed = METHOD_NAMES.filter(
      (name) => METHODS[name].request.safeParse({ unknownField: 1 }).success,
    );
    expect(passed).toEqual([]);
  });

  it('passes an error through with its fields', () => {
    const answer = {
      ok: false,
      error: {
        code: 'tune/chord',
        place: { line: 3, column: 7, bar: 2 },
        data: { text: 'Xyz' },
        message: 'Line 3: Xyz is not a chord symbol.',
      },
    };
    expect(parseAnswer('tunes.save', answer)).toEqual(answer);
  });

  it('tells a foreign answer from an error', () => {
    const codes = [
      parseAnswer('band.get', { ok: true, value: { band: 3 } }),
      parseAnswer('band.get', 'hello'),
    ];
    expect(codes.map((answer) => (answer.ok ? '' : answer.error.code))).toEqual([
      'contract/answer',
      'contract/answer',
    ]);
  });
});
