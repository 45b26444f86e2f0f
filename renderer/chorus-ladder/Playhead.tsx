import { type RefObject, useEffect, useRef } from 'react';
import { useTransport } from '../transport/transport-store.ts';
import type { OpenArrangement } from './ladder-store.ts';
import type { Ruler } from './ruler.ts';

/**
 * The bead that runs along the rung while it sounds. Moved by hand outside React, once a frame, from the
 * audio clock: nothing else is drawn again.
 */
export function Playhead({
  arrangement,
  ruler,
  scroller,
}: {
  readonly arrangement: OpenArrangement;
  readonly ruler: Ruler;
  readonly scroller: RefObject<HTMLDivElement | null>;
}) {
  const bead = useRef<HTMLDivElement>(null);
  const sounding = useTransport((store) => store.sounding);
  const { length } = arrangement.open.analysis.chorus;
  useEffect(() => {
    const element = bead.current;
    if (!element) return;
    if (!sounding) {
      element.style.visibility = 'hidden';
      return;
    }
    let frame = 0;
    const draw = () => {
      frame = requestAnimationFrame(draw);
      const place = sounding.place();
      const row = place
        ? document.getElementById(`cell-${place.chorus + 1}-0`)?.parentElement
        : null;
      if (!place || !row) {
        element.style.visibility = 'hidden';
        return;
      }
      const head = row.firstElementChild?.clientWidth ?? 0;
      const x = head + ruler.x(Math.min(place.at, length));
      element.style.visibility = 'visible';
      element.style.transform = `translate(${x}px, ${row.offsetTop}px)`;
      follow(scroller.current, x, head);
    };
    draw();
    return () => cancelAnimationFrame(frame);
  }, [sounding, ruler, length, scroller]);
  return <div className="playhead" ref={bead} aria-hidden="true" />;
}

/** Turns the page when the bead runs out of sight; does not creep along with it. */
function follow(box: HTMLElement | null, x: number, head: number): void {
  if (!box) return;
  const seen = x - box.scrollLeft;
  if (seen > box.clientWidth - 24 || seen < head) box.scrollLeft = x - head - 24;
}
