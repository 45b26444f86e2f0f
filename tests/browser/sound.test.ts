import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  arrange,
  freshLibrary,
  type Host,
  openWindow,
  startHost,
  type TestWindow,
  writeTune,
} from './window.ts';

/** A held chord at 120: a bar lasts two seconds, a beat half a second. */
const STEADY = `title: Metronome Row
key: C major
meter: 4/4
tempo: 120
feel: straight

[A]
| Cmaj7 | % | % | % |
| Dm7 | G7 | Cmaj7 | % |
`;

/** What left for the loudspeakers, one figure (root mean square) each fiftieth of a second. */
interface Heard {
  readonly levels: readonly number[];
  readonly peak: number;
}

describe('the sound', () => {
  let library: Awaited<ReturnType<typeof freshLibrary>>;
  let host: Host;
  let window: TestWindow;

  beforeAll(async () => {
    library = await freshLibrary();
    host = await startHost(library.file);
    window = await openWindow(host.address);
    await window.page.evaluate(tapLoudspeakers);
    await writeTune(window.page, STEADY);
    await arrange(window.page, 'Metronome Row', 'Loud and soft', 2);
  });

  afterAll(async () => {
    await window?.close();
    await host?.close();
    await library?.remove();
  });

  /** Does something and gives back what was heard over the next seconds. */
  async function hear(page: Page, act: () => Promise<void>, seconds: number): Promise<Heard> {
    await act();
    await page.getByRole('button', { name: /Stop/u }).waitFor({ timeout: 30_000 });
    await page.waitForFunction(
      () => !document.querySelector('.transport-now')?.textContent?.startsWith('Getting'),
    );
    await page.evaluate(() => {
      (globalThis as unknown as { heard: { levels: number[]; peak: number } }).heard = {
        levels: [],
        peak: 0,
      };
    });
    await page.waitForTimeout(seconds * 1000);
    return page.evaluate(() => (globalThis as unknown as { heard: Heard }).heard);
  }

  it('is there, and never clips', async () => {
    const { page } = window;
    await page.locator('[role="gridcell"][aria-selected="true"]').focus();
    const heard = await hear(page, () => page.keyboard.press('a'), 4);
    const loud = heard.levels.filter((level) => level > 0.01).length;
    expect(loud / heard.levels.length).toBeGreaterThan(0.8);
    expect(heard.peak).toBeLessThan(1);
    expect(heard.peak).toBeGreaterThan(0.1);
  });

  it('ends by itself after the bar behind the held one', async () => {
    // Four held bars at the top, none before, one after: ten seconds.
    await window.page.getByRole('button', { name: /Play/u }).waitFor({ timeout: 12_000 });
  });

  it('falls silent at once when stopped', async () => {
    const { page } = window;
    await hear(page, () => page.keyboard.press('b'), 1);
    await page.keyboard.press(' ');
    await page.waitForTimeout(300);
    await page.evaluate(() => {
      (globalThis as unknown as { heard: { levels: number[]; peak: number } }).heard = {
        levels: [],
        peak: 0,
      };
    });
    await page.waitForTimeout(600);
    const after = await page.evaluate(() => (globalThis as unknown as { heard: Heard }).heard);
    expect(after.peak).toBeLessThan(0.01);
  });

  it('of after takes the place of before, and the other way round', async () => {
    const { page } = window;
    const now = page.locator('.transport-now');
    await page.locator('[role="gridcell"][aria-selected="true"]').focus();
    await page.keyboard.press('b');
    await now.filter({ hasText: 'Before' }).waitFor();
    await page.keyboard.press('a');
    await now.filter({ hasText: 'After' }).waitFor();
    await page.keyboard.press('b');
    await page.keyboard.press('a');
    await now.filter({ hasText: 'After' }).waitFor();
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: /Play/u }).waitFor();
  });

  it('falls silent when the ladder is left', async () => {
    const { page } = window;
    await hear(page, () => page.keyboard.press('b'), 0.5);
    await page.getByRole('link', { name: 'Band' }).click();
    await page.locator('.chair').first().waitFor();
    await page.waitForTimeout(300);
    await page.evaluate(() => {
      (globalThis as unknown as { heard: Heard }).heard = { levels: [], peak: 0 };
    });
    await page.waitForTimeout(600);
    const after = await page.evaluate(() => (globalThis as unknown as { heard: Heard }).heard);
    expect(after.peak).toBeLessThan(0.01);
    await page.goBack();
    await page.getByRole('grid').waitFor();
  });

  it('leaves out the chairs that are silenced, and lets no held note of before come back', async () => {
    const { page } = window;
    await page.locator('[role="gridcell"][aria-selected="true"]').focus();
    // Whole bars of two seconds are sounding when it is stopped.
    await hear(page, () => page.keyboard.press('b'), 0.3);
    await page.keyboard.press(' ');
    await page.waitForFunction(
      () => ((globalThis as unknown as { heard: Heard }).heard.levels.at(-1) ?? 1) < 0.001,
    );
    await pressAllChairs(page, 'false');
    const nobody = await hear(page, () => page.keyboard.press('b'), 1.5);
    expect(nobody.peak).toBeLessThan(0.005);
    await page.keyboard.press(' ');
    await pressAllChairs(page, 'true');
  });

  /** At once, so that what sounded before has no time to end by itself. */
  async function pressAllChairs(page: Page, pressed: string): Promise<void> {
    const chairs = page.getByRole('group', { name: 'Who plays' }).getByRole('button');
    await chairs.evaluateAll((buttons) => {
      for (const button of buttons) (button as HTMLButtonElement).click();
    });
    await page
      .getByRole('group', { name: 'Who plays' })
      .locator(`button:not([aria-pressed="${pressed}"])`)
      .first()
      .waitFor({ state: 'detached' });
  }

  it('comes from samples of this machine alone', () => {
    const samples = window.requests.filter((address) => address.endsWith('.mp3'));
    expect(samples.length).toBeGreaterThan(0);
    expect(samples.every((address) => address.startsWith(new URL(host.address).origin))).toBe(true);
  });
});

/** Runs in the page: listens to everything that goes to a loudspeaker. */
function tapLoudspeakers(): void {
  const heard = globalThis as unknown as { heard: { levels: number[]; peak: number } };
  heard.heard = { levels: [], peak: 0 };
  const connect = AudioNode.prototype.connect as (this: AudioNode, ...to: unknown[]) => unknown;
  let tapped = false;
  AudioNode.prototype.connect = function tapping(this: AudioNode, ...to: unknown[]) {
    const [target] = to;
    if (target instanceof AudioDestinationNode && !tapped) {
      tapped = true;
      // Deprecated, but the one node that hears without a module of its own.
      const ear = this.context.createScriptProcessor(1024, 1, 1);
      ear.onaudioprocess = ({ inputBuffer }) => {
        const samples = inputBuffer.getChannelData(0);
        let sum = 0;
        for (const sample of samples) {
          sum += sample * sample;
          heard.heard.peak = Math.max(heard.heard.peak, Math.abs(sample));
        }
        heard.heard.levels.push(Math.sqrt(sum / samples.length));
      };
      connect.call(this, ear);
      connect.call(ear, target);
    }
    return connect.apply(this, to);
  } as typeof AudioNode.prototype.connect;
}
