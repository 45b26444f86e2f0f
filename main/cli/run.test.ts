import { describe, expect, it } from 'vitest';
import { CommandFailure } from './io.ts';
import { exitOfThrown } from './run.ts';

async function said(thrown: unknown): Promise<{ code: number; out: string; err: string }> {
  let out = '';
  let err = '';
  const io = { out: (text: string) => (out += text), err: (text: string) => (err += text) };
  return { code: await exitOfThrown(thrown, 'import', io), out, err };
}

describe('what a command throws', () => {
  // Result codes of SQLite: sqlite.org/rescode.html.
  it.each([
    ['SQLITE_BUSY', 'Another program is holding the library'],
    ['SQLITE_BUSY_SNAPSHOT', 'Another program is holding the library'],
    ['SQLITE_FULL', 'The disk is full'],
  ])('is one sentence for %s, and no fault of ours', async (code, sentence) => {
    const { code: exit, out, err } = await said(Object.assign(new Error('locked'), { code }));
    expect([exit, out]).toEqual([1, '']);
    expect(err.trim().split('\n')).toEqual([expect.stringContaining(sentence)]);
    expect(err).not.toContain('run.test.ts');
  });

  it('is said with its place where nobody foresaw it', async () => {
    const { code, err } = await said(new Error('No such luck'));
    expect(code).toBe(1);
    expect(err).toContain('changewright import: Error: No such luck');
    expect(err).toContain('run.test.ts');
    expect(err).toContain('nothing kept was lost');
  });

  it('is the sentence of a refusal, with its own exit code', async () => {
    expect(await said(new CommandFailure('Name a file.', 2))).toEqual({
      code: 2,
      out: '',
      err: 'Name a file.\n',
    });
  });
});
