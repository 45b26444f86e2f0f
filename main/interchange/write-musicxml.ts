import { element, textElement } from '../../shared-core/notation/xml.ts';
import { signatureOf } from '../../shared-core/pitch/key.ts';
import { err, ok, type Result } from '../../shared-core/result.ts';
import { barTicks, sameMeter, TICKS_PER_QUARTER } from '../../shared-core/time/meter.ts';
import type { Tune, TuneError } from '../../shared-core/tune/model.ts';
import type { PageBar } from '../../shared-core/tune/page.ts';
import { findRepeats } from '../../shared-core/tune/repeats.ts';
import { runOf } from '../../shared-core/tune/unroll.ts';
import { closingXml, directionsXml, leftXml, rightXml } from './lead-sheet/form-xml.ts';
import { musicXml } from './lead-sheet/music-xml.ts';
import type { Sheet } from './lead-sheet/sheet.ts';
import { piecesOf } from './lead-sheet/voice.ts';

const HEAD =
  '<?xml version="1.0" encoding="UTF-8"?>\n' +
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n';

/**
 * A tune as a lead sheet in MusicXML 4.0: one part at concert pitch with chords, melody, repeats, endings
 * and jumps. MusicXML has no form line, so the sections stand in the order in which they are played; a
 * repeat without an opening sign gets one.
 *
 * @returns the file's text, or why the tune's signs cannot be played (see `unroll`)
 */
export function tuneToMusicXml(tune: Tune): Result<string, TuneError> {
  const run = runOf(tune);
  if (!run.ok) return run;
  const { bars, bounds } = run.value;
  const repeats = findRepeats(
    bars.map(({ bar }) => bar),
    bounds,
  );
  if (!repeats.ok) {
    const { code, data, index } = repeats.error;
    return err({ code, place: { bar: index + 1 }, data });
  }
  const sheet: Sheet = {
    tune,
    run: run.value,
    repeats: repeats.value,
    melody: piecesOf(bars),
  };
  const score = element(
    'score-partwise',
    { version: '4.0' },
    element('work', {}, textElement('work-title', tune.title)),
    element(
      'identification',
      {},
      tune.credit === null ? '' : textElement('creator', tune.credit, { type: 'composer' }),
      element('encoding', {}, textElement('software', 'Changewright')),
    ),
    element('part-list', {}, element('score-part', { id: 'P1' }, textElement('part-name', 'Lead'))),
    element('part', { id: 'P1' }, ...bars.map((_bar, index) => measureXml(sheet, index))),
  );
  return ok(`${HEAD}${score}\n`);
}

function measureXml(sheet: Sheet, index: number): string {
  const here = sheet.run.bars[index] as PageBar;
  const isShort = here.bar.length < barTicks(here.meter);
  const hasPickup = sheet.tune.pickup > 0;
  return element(
    'measure',
    { number: hasPickup ? index : index + 1, implicit: isShort ? 'yes' : undefined },
    leftXml(sheet, index),
    attributesXml(sheet, index),
    directionsXml(sheet, index),
    musicXml(sheet, index),
    closingXml(sheet, index),
    rightXml(sheet, index),
  );
}

function attributesXml({ tune, run }: Sheet, index: number): string {
  const { meter } = run.bars[index] as PageBar;
  const before = run.bars[index - 1]?.meter;
  const isFirst = index === 0;
  if (!isFirst && before && sameMeter(before, meter)) return '';
  return element(
    'attributes',
    {},
    isFirst ? textElement('divisions', TICKS_PER_QUARTER) : '',
    isFirst && tune.key
      ? element(
          'key',
          {},
          textElement('fifths', signatureOf(tune.key)),
          textElement('mode', tune.key.mode),
        )
      : '',
    element('time', {}, textElement('beats', meter.count), textElement('beat-type', meter.unit)),
    isFirst ? element('clef', {}, textElement('sign', 'G'), textElement('line', 2)) : '',
  );
}
