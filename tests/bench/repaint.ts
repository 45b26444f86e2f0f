import type { Page } from 'playwright-core';
import { freshLibrary, openWindow, startHost } from '../browser/window.ts';

/** What a decision costs in the window, milliseconds a decision. */
export interface Repaint {
  /** From the key to the frame that shows the decision. */
  readonly shown: readonly number[];
  /** From the key to the changed page, before the frame is drawn. */
  readonly changed: readonly number[];
  /** Cells whose elements were touched, a decision. */
  readonly cells: readonly number[];
}

const BARS = 64;
const CHORUSES = 12;

/** A tune of 64 bars, half of them held. */
function longTune(): string {
  const lines = Array.from({ length: BARS / 4 }, (_, line) =>
    line % 2 === 0 ? '| Ebmaj7 | % | % | Dm7 G7 |' : '| Bbmaj7 | % | Cm7 | F7 |',
  );
  return `title: Sixty-Four\nkey: Bb major\ntempo: 160\n[A]\n${lines.join('\n')}\n`;
}

/**
 * Accepts proposals all over an arrangement of 12 choruses of 64 bars in a real browser and measures,
 * in the page, from the key press to the frame that shows each of them. The way to the host, its
 * transaction and the way back are in it.
 */
export async function benchRepaint(decisions = 60): Promise<Repaint> {
  const library = await freshLibrary();
  const host = await startHost(library.file);
  const window = await openWindow(host.address);
  try {
    const { page } = window;
    await openLongArrangement(page);
    await page.evaluate(watchDecisions);
    await page.locator('[role="gridcell"][aria-selected="true"]').focus();
    for (let made = 0; made < decisions; made++) await decide(page, made);
    return await page.evaluate(() => (globalThis as unknown as { repaint: Repaint }).repaint);
  } finally {
    await window.close();
    await host.close();
    await library.remove();
  }
}

async function openLongArrangement(page: Page): Promise<void> {
  await page.getByRole('link', { name: 'Write a tune' }).first().click();
  await page.getByRole('textbox', { name: 'Tune text' }).fill(longTune());
  await page.getByRole('button', { name: 'Keep it' }).click();
  await page.getByLabel('Choruses').fill(String(CHORUSES));
  await page.getByRole('button', { name: 'New arrangement' }).click();
  await page.getByRole('grid').waitFor();
}

async function decide(page: Page, made: number): Promise<void> {
  if (made % 12 === 11) {
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Home');
  }
  await page.keyboard.press('Control+ArrowRight');
  // What follows a move (slips judged in slices) is over before the decision is timed.
  await page.waitForTimeout(150);
  const before = await page.evaluate(
    () => (globalThis as unknown as { repaint: Repaint }).repaint.shown.length,
  );
  await page.keyboard.press('Enter');
  await page.waitForFunction(
    (count) =>
      (globalThis as unknown as { repaint: Repaint }).repaint.shown.length > (count as number),
    before,
  );
}

/** Runs in the page: notes when a kept slip appears after Enter, and when the frame with it was drawn. */
function watchDecisions(): void {
  const repaint = { shown: [] as number[], changed: [] as number[], cells: [] as number[] };
  (globalThis as unknown as { repaint: typeof repaint }).repaint = repaint;
  const kept = () => document.querySelectorAll('.slip-band, .slip-soloist').length;
  addEventListener(
    'keydown',
    (event) => {
      if (event.key !== 'Enter') return;
      const pressed = performance.now();
      const before = kept();
      const touched = new Set<Element>();
      const observer = new MutationObserver((records) => {
        for (const record of records) {
          const cell = (record.target as Element).closest?.('[role="gridcell"]');
          if (cell) touched.add(cell);
        }
        if (kept() === before) return;
        observer.disconnect();
        repaint.changed.push(performance.now() - pressed);
        repaint.cells.push(touched.size);
        requestAnimationFrame(() => {
          const { port1, port2 } = new MessageChannel();
          port1.onmessage = () => repaint.shown.push(performance.now() - pressed);
          port2.postMessage(null);
        });
      });
      const grid = document.querySelector('[role="grid"]');
      if (grid) observer.observe(grid, { subtree: true, childList: true, attributes: true });
    },
    { capture: true },
  );
}
