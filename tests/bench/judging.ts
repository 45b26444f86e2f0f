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

const MELODY = [
  'melody: | half D5 F5 | whole D5 | half C5 Bb4 | whole D5 | half G5 Eb5 | Gb5 C5 | F5 D5 | B4 G4 |',
  'melody: | half Eb5 C5 | whole Eb5 | half A4 C5 | whole F5 | half D5 F5 | G5 D5 | Eb5 G5 | A4 C5 |',
  'melody: | half Gb5 Bb4 | C5 Gb5 | F5 Db5 | whole Ab5 | half F5 Ab5 | D5 B4 | Eb5 C5 | F5 A4 |',
  'melody: | half D5 F5 | whole D5 | half C5 Bb4 | whole D5 | half G5 Eb5 | Gb5 C5 | F5 B4 | Eb5 A4 |',
];

const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];

function raised(line: string, semitones: number): string {
  return line.replace(
    /[A-G]b?/gu,
    (root) => ROOTS[(ROOTS.indexOf(root) + semitones) % ROOTS.length] ?? root,
  );
}

/**
 * A tune of so many bars, made of eight-bar lines with held stretches; every 32 bars a semitone higher, so
 * that a long tune is not a short one said over and over.
 */
export function tuneOf(bars: number, melody = false): Tune {
  const lines = Array.from({ length: bars / 8 }, (_, index) => {
    const label = `${String.fromCharCode(65 + (index % 26))}${Math.floor(index / 26) || ''}`;
    const changes = raised(SECTION[index % 4] ?? '', Math.floor(index / 4));
    return `[${label}]\n${changes}\n${melody ? MELODY[index % 4] : ''}\n`;
  });
  const { tune, errors } = readTune(
    `title: Bench\nkey: Bb major\nmeter: 4/4\ntempo: 148\n${lines.join('\n')}\n`,
  );
  if (!tune || errors.length > 0) throw new Error('The bench tune was not read');
  return tune;
}

/**
 * Understands a tune afresh and judges every proposal for so many choruses, the last of them the ending:
 * nothing is remembered from before. A melody sounds in the first.
 */
export function judgeAfresh(tune: Tune, choruses: number): void {
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  for (let chorus = 0; chorus < choruses; chorus += 1)
    propose(analysis.value, { tempo: 148, chorus, lastChorus: chorus === choruses - 1 });
}
