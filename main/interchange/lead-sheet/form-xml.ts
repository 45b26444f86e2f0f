import { element, textElement } from '../../../shared-core/notation/xml.ts';
import { beatTicks, isCompound, TICKS_PER_QUARTER } from '../../../shared-core/time/meter.ts';
import type { FormJump, FormMark, Tune } from '../../../shared-core/tune/model.ts';
import type { PageBar } from '../../../shared-core/tune/page.ts';
import { jumpName } from '../../../shared-core/tune/route.ts';
import type { Sheet } from './sheet.ts';

/** What opens at a bar line: a repeat, an ending. */
export function leftXml({ repeats }: Sheet, index: number): string {
  const ending = repeats.flatMap(({ endings }) => endings).find(({ start }) => start === index);
  const opens = repeats.some(({ start }) => start === index);
  if (!ending && !opens) return '';
  return element(
    'barline',
    { location: 'left' },
    opens ? textElement('bar-style', 'heavy-light') : '',
    ending ? element('ending', { number: ending.numbers.join(', '), type: 'start' }) : '',
    opens ? element('repeat', { direction: 'forward' }) : '',
  );
}

/** What closes at a bar line: a repeat, an ending, the tune. */
export function rightXml({ run, repeats }: Sheet, index: number): string {
  const ending = repeats.flatMap(({ endings }) => endings).find(({ end }) => end === index);
  const repeatEnd = run.bars[index]?.bar.repeatEnd ?? 0;
  const isLast = index === run.bars.length - 1;
  if (!ending && repeatEnd === 0 && !isLast) return '';
  const number = ending?.numbers.join(', ');
  return element(
    'barline',
    { location: 'right' },
    repeatEnd > 0 || isLast ? textElement('bar-style', 'light-heavy') : '',
    ending ? element('ending', { number, type: repeatEnd > 0 ? 'stop' : 'discontinue' }) : '',
    repeatEnd > 0
      ? element('repeat', { direction: 'backward', times: repeatEnd > 2 ? repeatEnd : undefined })
      : '',
  );
}

/** A direction above the staff. */
function directionXml(type: string, sound: Readonly<Record<string, string | number>> = {}): string {
  return element(
    'direction',
    { placement: 'above' },
    element('direction-type', {}, type),
    Object.keys(sound).length > 0 ? element('sound', sound) : '',
  );
}

/** What stands at the start of a bar: the section, feel and tempo at the top, segno and coda. */
export function directionsXml({ tune, run }: Sheet, index: number): string {
  const { bar, section, writtenBar } = run.bars[index] as PageBar;
  const starts = writtenBar === 0 || run.bounds.has(index);
  const label = starts ? (tune.sections[section]?.label ?? '') : '';
  return [
    label === '' ? '' : directionXml(textElement('rehearsal', label)),
    index === 0 && tune.feel !== null ? directionXml(textElement('words', tune.feel)) : '',
    index === 0 ? tempoXml(tune) : '',
    bar.marks.includes('segno') ? directionXml(element('segno'), { segno: 'segno' }) : '',
    bar.marks.includes('coda') ? directionXml(element('coda'), { coda: 'coda' }) : '',
  ].join('');
}

function tempoXml({ tempo, meter }: Tune): string {
  if (tempo === null) return '';
  const quarters = (tempo * beatTicks(meter)) / TICKS_PER_QUARTER;
  const unit = isCompound(meter) ? meter.unit / 2 : meter.unit;
  const names: Readonly<Record<number, string>> = {
    1: 'whole',
    2: 'half',
    4: 'quarter',
    8: 'eighth',
  };
  const name = names[unit] ?? '16th';
  const metronome = element(
    'metronome',
    {},
    textElement('beat-unit', name),
    isCompound(meter) ? element('beat-unit-dot') : '',
    textElement('per-minute', tempo),
  );
  return directionXml(metronome, { tempo: quarters });
}

/** What acts at the end of a bar: To Coda, Fine, D.C. and D.S. */
export function closingXml({ run }: Sheet, index: number): string {
  const { bar } = run.bars[index] as PageBar;
  const has = (mark: FormMark) => bar.marks.includes(mark);
  return [
    has('to-coda') ? directionXml(textElement('words', 'To Coda'), { tocoda: 'coda' }) : '',
    has('fine') ? directionXml(textElement('words', 'Fine'), { fine: 'yes' }) : '',
    bar.jump ? directionXml(textElement('words', jumpName(bar.jump)), jumpSound(bar.jump)) : '',
  ].join('');
}

function jumpSound({ to }: FormJump): Readonly<Record<string, string>> {
  return to === 'capo' ? { dacapo: 'yes' } : { dalsegno: 'segno' };
}
