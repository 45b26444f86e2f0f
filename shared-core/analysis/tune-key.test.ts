import { describe, expect, it } from 'vitest';
import { keyName } from '../pitch/key.ts';
import { readTune } from '../tune/read.ts';
import { analyse } from './analyse.ts';

/** Key found for an invented form that names none. */
function keyOf(text: string): string {
  const { tune, errors } = readTune(text);
  if (tune === null || errors.length > 0) throw new Error(JSON.stringify(errors));
  const analysis = analyse(tune, []);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return keyName(analysis.value.key);
}

// Each form was invented so that the one rule named decides it. The rules: common practice, no source.
describe('the key of a tune', () => {
  it('takes a first minor seventh that goes straight to its dominant for a two', () => {
    expect(keyOf('| Dm7 | G7 | Cmaj7 | Am7 | Dm7 | G7 | Dm7 | A7 |')).toBe('C major');
  });

  it('takes a first minor seventh that goes elsewhere for a one', () => {
    expect(keyOf('| Dm7 | Gm7 | Dm7 | A7 | Dm7 | G7 | Dm7 | A7 |')).toBe('D minor');
  });

  it('is not held by a first dominant when the form comes to rest elsewhere', () => {
    expect(keyOf('| F7 | G7 | Dm7 | F7 | D7 | Bb7 | F7 | C6 |')).toBe('C major');
  });

  it('stays with a first dominant that is held, wherever the form wanders', () => {
    expect(keyOf('| Bb7 | % | % | % | Ab7 | % | Gbmaj7 | F7 |')).toBe('Bb major');
  });

  it('hears a question in the six and five of minor that end the form', () => {
    expect(keyOf('| Cm7 | Bbm7 Eb7 | Abmaj7 | Fm7 | Cm7 | Bbm7 Eb7 | Abmaj7 | G7 |')).toBe(
      'C minor',
    );
  });

  it('hears home in the same chords when the form ends on their own dominant', () => {
    expect(keyOf('| Cm7 | Bbm7 Eb7 | Abmaj7 | Fm7 | Cm7 | Bbm7 Eb7 | Abmaj7 | Eb7 |')).toBe(
      'Ab major',
    );
  });

  it('hears home where the phrase ends each time before the top comes back', () => {
    const phrase = '| Am7 | G7 | Em7 | Cmaj7 ';
    expect(keyOf(`${phrase}${phrase}| Am7 | G7 | Em7 | Fmaj7 |`)).toBe('C major');
  });

  it('hears home where sections end', () => {
    const sections = ['| Fmaj7 | E7 | Dm7 | Cmaj7 |', '| Am7 | Dm7 | Fmaj7 | Cmaj7 |'];
    const text = `[A]\n${sections[0]}\n[B]\n${sections[1]}\n[C]\n| Em7 | G7 | Am7 | Dm7 |`;
    expect(keyOf(text)).toBe('C major');
  });

  it('hears home in the very last chord, though it comes inside the bar', () => {
    expect(keyOf('| Fmaj7 | C7 | Dm | F6 | A7 | Dm | C7 | Gm Dm |')).toBe('D minor');
  });
});
