import { symbolOf } from '../chord/format.ts';
import type { Part, PartHarmony, PartMeasure } from '../parts/model.ts';
import type { PrintedMeasure } from '../parts/printed.ts';
import { jumpWords } from '../parts/road.ts';
import { signatureOf } from '../pitch/key.ts';
import { barTicks, sameMeter, TICKS_PER_QUARTER, type Ticks } from '../time/meter.ts';
import { chordXml } from './chord-xml.ts';
import type { MeasureContext } from './context.ts';
import { eventsXml, type StaffNote } from './events.ts';
import { element, textElement } from './xml.ts';

/** One `<measure>`; `ordinal` counts printed bars from 0. */
export function measureXml(context: MeasureContext, ordinal: number): string {
  const printed = context.printed[ordinal];
  if (!printed) throw new Error(`No printed bar ${ordinal}`);
  const { measure } = printed;
  return element(
    'measure',
    {
      number: measure.number,
      implicit: measure.length === barTicks(measure.meter) ? undefined : 'yes',
      id: `m${ordinal}`,
    },
    context.lineStarts.has(ordinal) ? element('print', { 'new-system': 'yes' }) : '',
    leftBarline(context, printed),
    attributesXml(context, ordinal),
    ...(context.mode === 'exchange' ? wordsXml(context, printed) : []),
    ...musicXml(context, measure, ordinal),
    rightBarline(context, printed),
  );
}

function attributesXml(context: MeasureContext, ordinal: number): string {
  const { part, printed, mode } = context;
  const here = printed[ordinal]?.measure;
  const before = printed[ordinal - 1]?.measure;
  if (!here) return '';
  const first = ordinal === 0;
  const meter = first || (before && !sameMeter(before.meter, here.meter));
  const repeats = repeatXml(before, here);
  if (!first && !meter && repeats === '') return '';
  return element(
    'attributes',
    {},
    first ? textElement('divisions', TICKS_PER_QUARTER) : '',
    first ? keyXml(part) : '',
    meter
      ? element(
          'time',
          {},
          textElement('beats', here.meter.count),
          textElement('beat-type', here.meter.unit),
        )
      : '',
    first && part.reading.staves === 2 ? textElement('staves', 2) : '',
    first ? clefXml(part) : '',
    first && mode === 'exchange' ? capoXml(part) : '',
    first && mode === 'exchange' ? transposeXml(part) : '',
    repeats,
  );
}

/** Where bars that repeat the one before begin and end. */
function repeatXml(before: PartMeasure | undefined, here: PartMeasure): string {
  const [was, is] = [before, here].map((bar) => bar?.events[0]?.kind === 'simile');
  if (was === is) return '';
  const sign = is
    ? textElement('measure-repeat', 1, { type: 'start' })
    : element('measure-repeat', { type: 'stop' });
  return element('measure-style', {}, sign);
}

function keyXml(part: Part): string {
  if (part.reading.clef.sign === 'percussion') return '';
  return element(
    'key',
    {},
    textElement('fifths', signatureOf(part.key)),
    textElement('mode', part.key.mode),
  );
}

function clefXml(part: Part): string {
  const { clef, staves } = part.reading;
  if (staves === 1) return oneClef(clef, undefined);
  return oneClef(clef, 1) + oneClef({ sign: 'F', line: 4, octaveChange: 0 }, 2);
}

function oneClef(
  { sign, line, octaveChange }: Part['reading']['clef'],
  number: number | undefined,
): string {
  return element(
    'clef',
    { number },
    textElement('sign', sign),
    sign === 'percussion' ? '' : textElement('line', line),
    octaveChange === 0 ? '' : textElement('clef-octave-change', octaveChange),
  );
}

function capoXml({ reading: { strung } }: Part): string {
  const capo = strung?.capo ?? 0;
  return capo === 0 ? '' : element('staff-details', {}, textElement('capo', capo));
}

function transposeXml(part: Part): string {
  const { transpose } = part.reading;
  if (!transpose) return '';
  return element(
    'transpose',
    {},
    textElement('diatonic', transpose.diatonic),
    textElement('chromatic', transpose.chromatic),
    transpose.octaveChange === 0 ? '' : textElement('octave-change', transpose.octaveChange),
  );
}

function leftBarline(context: MeasureContext, printed: PrintedMeasure): string {
  const { measure } = printed;
  const ending = context.mode === 'exchange' && measure.endingStart;
  if (!measure.repeatStart && !ending) return '';
  return element(
    'barline',
    { location: 'left' },
    measure.repeatStart ? textElement('bar-style', 'heavy-light') : '',
    ending ? element('ending', { number: measure.endings.join(','), type: 'start' }) : '',
    measure.repeatStart ? element('repeat', { direction: 'forward' }) : '',
  );
}

function rightBarline(context: MeasureContext, printed: PrintedMeasure): string {
  const { measure } = printed;
  const ending = context.mode === 'exchange' && measure.endingStop;
  if (measure.repeatEnd === 0 && measure.barline === 'single' && !ending) return '';
  const style =
    measure.repeatEnd > 0 || measure.barline === 'final' ? 'light-heavy' : 'light-light';
  const plain = measure.repeatEnd === 0 && measure.barline === 'single';
  return element(
    'barline',
    { location: 'right' },
    plain ? '' : textElement('bar-style', style),
    ending
      ? element('ending', {
          number: measure.endings.join(','),
          type: measure.repeatEnd > 0 ? 'stop' : 'discontinue',
        })
      : '',
    measure.repeatEnd > 0
      ? element('repeat', {
          direction: 'backward',
          times: measure.repeatEnd > 2 ? measure.repeatEnd : undefined,
        })
      : '',
  );
}

function words(text: string, offset: Ticks = 0, placement: 'above' | 'below' = 'above'): string {
  return element(
    'direction',
    { placement },
    element('direction-type', {}, textElement('words', text)),
    offset > 0 ? textElement('offset', offset) : '',
  );
}

/** Headings, rehearsal letters, instructions, cues and the road map's signs, for other programs. */
function wordsXml(context: MeasureContext, printed: PrintedMeasure): string[] {
  const { measure } = printed;
  const mark = (name: string): string =>
    element('direction', { placement: 'above' }, element('direction-type', {}, element(name)));
  const xml: string[] = [];
  if (printed.position === 0) xml.push(...headingXml(context, printed));
  if (printed.place === 'coda' && printed.position === 0) xml.push(mark('coda'));
  if (measure.rehearsal) {
    xml.push(
      element(
        'direction',
        { placement: 'above' },
        element('direction-type', {}, textElement('rehearsal', measure.rehearsal)),
      ),
    );
  }
  for (const direction of measure.directions)
    xml.push(words(direction.words + forChoruses(direction.choruses), direction.at));
  for (const cue of measure.cues) {
    const chords = cue.harmonies.map((held) => symbolOf(held.harmony)).join(' ');
    const intro = cue.words === null ? '' : `${cue.words}: `;
    xml.push(words(`${intro}${chords}${forChoruses(cue.choruses)}`, cue.at));
  }
  for (const scale of measure.scales) xml.push(words(scale.words, scale.at));
  return [...xml, ...jumpXml(context, printed)];
}

function forChoruses(choruses: readonly number[] | null): string {
  return choruses ? ` (chorus ${choruses.join(', ')})` : '';
}

function headingXml(context: MeasureContext, printed: PrintedMeasure): string[] {
  const block = context.part.blocks[printed.block];
  if (!block) return [];
  if (printed.place === 'strip') {
    const strip = block.strips[printed.strip];
    return strip ? [words(`Chorus ${strip.choruses.join(', ')}, from bar ${strip.from + 1}`)] : [];
  }
  if (printed.place === 'coda') return [words(context.part.jump?.heading ?? 'Coda')];
  const { strung } = context.part.reading;
  const first = printed.block === 0 && strung ? [words(strung.words)] : [];
  const cue = block.cue ? [words(`cue: ${block.cue.words}`)] : [];
  return [...first, words(block.heading), ...cue];
}

/** Segno, To Coda, Fine and the jump itself, with their `<sound>`. */
function jumpXml(context: MeasureContext, printed: PrintedMeasure): string[] {
  const { jump, blocks } = context.part;
  if (!jump || printed.place !== 'block') return [];
  const xml: string[] = [];
  const direction = (type: string, sound: Record<string, string>): string =>
    element(
      'direction',
      { placement: 'above' },
      element('direction-type', {}, type),
      element('sound', sound),
    );
  const inTarget = printed.block === jump.block;
  if (inTarget && printed.position === 0 && jump.kind === 'D.S.')
    xml.push(direction(element('segno'), { segno: 'segno' }));
  if (inTarget && printed.position === jump.bars - 1) {
    xml.push(
      jump.al === 'coda'
        ? direction(textElement('words', 'To Coda'), { tocoda: 'coda' })
        : direction(textElement('words', 'Fine'), { fine: 'yes' }),
    );
  }
  if (printed.block === blocks.length - 1 && printed.position === printed.of - 1) {
    const sound = jump.kind === 'D.S.' ? { dalsegno: 'segno' } : { dacapo: 'yes' };
    xml.push(direction(textElement('words', jumpWords(jump)), sound));
  }
  return xml;
}

interface Placed {
  readonly at: Ticks;
  readonly xml: (offset: Ticks) => string;
}

/** The harmonies of a bar as placed XML: solo above, the band's below it when both are there. */
function harmoniesOf(context: MeasureContext, measure: PartMeasure): Placed[] {
  const both = measure.solo !== null;
  const layer = (
    list: readonly PartHarmony[],
    name: 'band' | 'solo',
    placement: 'above' | 'below',
  ): Placed[] =>
    list.map(({ at, harmony }) => ({
      at,
      xml: (offset) =>
        chordXml(harmony, {
          mode: context.mode,
          placement,
          offset,
          alternate: name === 'solo',
          frets: name === 'band' ? shapeAt(measure, at) : null,
          text: context.chordText(harmony, name),
        }),
    }));
  const solo = layer(measure.solo ?? [], 'solo', 'above');
  const band = layer(measure.band, 'band', both ? 'below' : 'above');
  // A program that takes one chord a place keeps the first: what everybody plays.
  const ordered = context.mode === 'exchange' ? [...band, ...solo] : [...solo, ...band];
  return ordered.sort((a, b) => a.at - b.at);
}

/** The guitar shape shown with the chord at a place. */
function shapeAt({ voicings }: PartMeasure, at: Ticks): readonly (number | null)[] | null {
  return voicings.find((shown) => shown.at === at)?.voicing.frets ?? null;
}

/** Notes and rests with the harmonies before the note they fall on (or in). */
function musicXml(context: MeasureContext, measure: PartMeasure, ordinal: number): string[] {
  const notes = eventsXml(context, measure, ordinal, 1);
  const waiting = harmoniesOf(context, measure);
  const xml: string[] = [];
  const flush = (note: StaffNote | null): void => {
    const end = note ? note.at + note.length : Number.POSITIVE_INFINITY;
    while (waiting[0] && waiting[0].at < end) {
      const harmony = waiting.shift();
      if (harmony) xml.push(harmony.xml(note ? harmony.at - note.at : 0));
    }
  };
  for (const note of notes) {
    flush(note);
    xml.push(note.xml);
  }
  flush(null);
  if (context.part.reading.staves === 1) return xml;
  const lower = eventsXml(context, measure, ordinal, 2).map((note) => note.xml);
  return [...xml, element('backup', {}, textElement('duration', measure.length)), ...lower];
}
