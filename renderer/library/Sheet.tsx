import { type RefObject, useLayoutEffect, useRef, useState } from 'react';
import type { Tune, WrittenBar } from '../../shared-core/tune/model.ts';
import { ChordSymbol, symbolWidth } from '../common/ChordSymbol.tsx';
import { useChordView } from '../common/chord-view.ts';
import { setAlong } from '../common/set-along.ts';

/** Bars to a line on the sheet. */
const TO_A_LINE = 4;

/** Size of the symbols, and the room between two of them, px of a usual screen. */
const SIZE = 22;
const GAP = 10;

/** A tune as written: sections with their letters, four bars to a line. */
export function Sheet({ tune }: { readonly tune: Tune }) {
  const sheet = useRef<HTMLDivElement>(null);
  const width = useBarWidth(sheet);
  return (
    <div className="sheet" ref={sheet}>
      {tune.sections.map((section, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a section is its place on the page
        <section key={index} className="sheet-section" aria-label={`Section ${section.label}`}>
          {section.label && (
            <b className={section.label.length > 2 ? 'sheet-letter sheet-word' : 'sheet-letter'}>
              {section.label}
            </b>
          )}
          <div className="sheet-bars">
            {section.bars.map((bar, at) => (
              <SheetBar
                // biome-ignore lint/suspicious/noArrayIndexKey: a bar is its place on the page
                key={at}
                bar={bar}
                ofLine={at % TO_A_LINE}
                last={at === section.bars.length - 1}
                width={width}
              />
            ))}
          </div>
        </section>
      ))}
      {tune.form && <p className="quiet small">Form: {tune.form.join(' ')}</p>}
    </div>
  );
}

/** Whether a melody was written down with the changes; the sheet shows the changes alone. */
export function hasMelody(tune: Tune): boolean {
  return tune.sections.some(({ bars }) => bars.some(({ melody }) => melody.length > 0));
}

/** Px of one bar of the sheet; follows the window. */
function useBarWidth(sheet: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(160);
  useLayoutEffect(() => {
    const element = sheet.current;
    if (!element) return;
    const measure = () => {
      const bars = element.querySelector('.sheet-bars');
      if (bars) setWidth(bars.clientWidth / TO_A_LINE);
    };
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [sheet]);
  return width;
}

function SheetBar({
  bar,
  ofLine,
  last,
  width,
}: {
  readonly bar: WrittenBar;
  /** Px of a bar. */
  readonly width: number;
  readonly ofLine: number;
  readonly last: boolean;
}) {
  const view = useChordView();
  const setting = setAlong(
    bar.harmony.map((event) => ({
      x: (event.at / bar.length) * width,
      width: symbolWidth(event.harmony, view, SIZE) + GAP * view.scale,
    })),
    width - (bar.repeatStart ? GAP : 0) * view.scale,
  );
  const classes = ['sheet-bar'];
  if (ofLine === 0) classes.push('sheet-bar-first');
  if (last) classes.push('sheet-bar-last');
  if (bar.repeatStart) classes.push('sheet-repeat-start');
  if (bar.repeatEnd > 0) classes.push('sheet-repeat-end');
  return (
    <div className={classes.join(' ')}>
      {bar.endings.length > 0 && <span className="sheet-ending">{bar.endings.join(', ')}.</span>}
      {marksOf(bar).map((mark) => (
        <span key={mark} className="sheet-mark">
          {mark}
        </span>
      ))}
      {bar.harmony.map((event, index) => (
        <span key={event.at} className="sheet-chord" style={{ left: setting.xs[index] }}>
          <ChordSymbol
            harmony={event.harmony}
            size={SIZE * setting.scale}
            condense={setting.condense}
          />
        </span>
      ))}
    </div>
  );
}

const MARKS = { segno: 'Segno', coda: 'Coda', fine: 'Fine', 'to-coda': 'To Coda' } as const;

function marksOf(bar: WrittenBar): readonly string[] {
  const marks: string[] = bar.marks.map((mark) => MARKS[mark]);
  if (bar.jump) {
    const to = bar.jump.to === 'capo' ? 'D.C.' : 'D.S.';
    const al = { end: '', fine: ' al Fine', coda: ' al Coda' }[bar.jump.al];
    marks.push(to + al);
  }
  if (bar.repeatEnd > 2) marks.push(`${bar.repeatEnd} times`);
  return marks;
}
