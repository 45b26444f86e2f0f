import { describe, expect, it } from 'vitest';
import { readTune } from '../tune/read.ts';
import { analyse } from './analyse.ts';
import type { Analysis } from './model.ts';

/** Form seen in an invented chorus that names neither key nor form. */
function formOf(text: string): Analysis['formType'] {
  const { tune, errors } = readTune(text);
  if (tune === null || errors.length > 0) throw new Error(JSON.stringify(errors));
  const analysis = analyse(tune, []);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value.formType;
}

// The twelve-bar forms with sources are checked in tests/outside; these: common practice, no source.
describe('blues forms that are stretched or changed', () => {
  it('sees a blues of sixteen bars whose last line lasts twice as long', () => {
    const lines = '| C7 | % | % | % | F7 | % | C7 | % ';
    expect(formOf(`${lines}| G7 | % | F7 | % | C7 | % | C7 | G7 |`)).toBe('blues');
  });

  it('sees a blues of sixteen bars that says its turn three times', () => {
    const lines = '| C7 | F7 | C7 | % | F7 | % | C7 | % ';
    expect(formOf(`${lines}| G7 | F7 | G7 | F7 | G7 | F7 | C7 | G7 |`)).toBe('blues');
  });

  it('does not take a song of sixteen bars that visits its four for a blues', () => {
    const lines = '| C | % | G7 | C | F | % | C | % ';
    expect(formOf(`${lines}| G7 | % | F | G7 | C | % | G7 | C |`)).toBeNull();
  });

  it('sees a minor blues by its sixth and fifth though another chord stands for the four', () => {
    const opening = '| Gm7 | Am7b5 D7 | Gm7 | % | Ab7 | % | Gm7 | % ';
    expect(formOf(`${opening}| Eb7 | D7 | Gm7 | D7 |`)).toBe('minor-blues');
    expect(formOf(`${opening}| Cm7 | D7 | Gm7 | D7 |`)).toBeNull();
  });
});
