import { propose } from '../../shared-core/proposals/propose.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';

const SECTION = [
  '| Bbmaj7 | % | % | % | Ebmaj7 | Ab7 | Dm7 | G7 |',
  '| Cm7 | % | F7 | % | Bbmaj7 | Gm7 | Cm7 | F7 |',
  '| Ebm7 | Ab7 | Dbmaj7 | % | Dm7b5 | G7 | Cm7 | F7 |',
  '| Bbmaj7 | % | % | % | Ebmaj7 | Ab7 | Dm7 G7 | Cm7 F7 |',
];

/** A tune of so many bars, made of eight-bar lines with held stretches. */
export function tuneOf(bars: number): Tune {
  const lines = Array.from(
    { length: bars / 8 },
    (_, index) =>
      `[${String.fromCharCode(65 + (index % 26))}${Math.floor(index / 26) || ''}]\n${SECTION[index % 4]}`,
  );
  const { tune } = readTune(
    `title: Bench\nkey: Bb major\nmeter: 4/4\ntempo: 148\n${lines.join('\n')}\n`,
  );
  if (!tune) throw new Error('The bench tune was not read');
  return tune;
}

/** Understands a tune afresh and judges every proposal for so many choruses: nothing remembered from before. */
export function judgeAfresh(tune: Tune, choruses: number): void {
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  for (let chorus = 0; chorus < choruses; chorus += 1)
    propose(analysis.value, { tempo: 148, chorus });
}
