import { readFile } from 'node:fs/promises';
import { strFromU8, unzipSync } from 'fflate';
import { parseMidi } from 'midi-file';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  arrange,
  cellSays,
  freshLibrary,
  type Host,
  here,
  openWindow,
  startHost,
  type TestWindow,
  TUNE,
  writeTune,
} from './window.ts';

/** Asks the host what the window would ask. */
async function ask<T>(page: Page, method: string, request: unknown): Promise<T> {
  const answer = await page.evaluate(
    async ([name, body]) => {
      const response = await fetch(`/contract/${name}`, {
        method: 'POST',
        headers: {
          'content-type': 'application/json',
          'x-changewright-token': sessionStorage.getItem('changewright-token') ?? '',
        },
        body: body ?? '',
      });
      return response.json();
    },
    [method, JSON.stringify(request)],
  );
  if (!answer.ok) throw new Error(answer.error.message);
  return answer.value as T;
}

/** Proposals on the bench, those behind `n more ways` with them. */
async function proposalsInAll(page: Page): Promise<number> {
  const devices = await page.locator('.device').count();
  const more = await page.locator('.ways-button').allTextContents();
  return devices + more.reduce((sum, words) => sum + Number.parseInt(words, 10), 0);
}

/** The main job in one sitting with a power cut in the middle; each step stands on the one before. */
describe('a leader arranges a tune', () => {
  let library: Awaited<ReturnType<typeof freshLibrary>>;
  let host: Host;
  let window: TestWindow;
  let place = '';

  beforeAll(async () => {
    library = await freshLibrary();
    host = await startHost(library.file);
    window = await openWindow(host.address);
  });

  afterAll(async () => {
    await window?.close();
    await host?.close();
    await library?.remove();
  });

  it('sees the sample library', async () => {
    await window.page.locator('.tune').first().waitFor();
    expect(await window.page.locator('.tune').count()).toBeGreaterThanOrEqual(12);
  });

  it('types a tune and sees its sheet while typing', async () => {
    const { page } = window;
    await page.getByRole('link', { name: 'Write a tune' }).first().click();
    await page.getByRole('textbox', { name: 'Tune text' }).fill(TUNE.replace('F7 | %', 'Xyz | %'));
    await page.getByRole('button', { name: /Xyz/u }).waitFor();
    expect(await page.getByRole('button', { name: 'Keep it' }).isDisabled()).toBe(true);
    await writeTune(page, TUNE);
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('Cellar Steps');
    expect(await page.locator('.sheet-bar').count()).toBe(16);
  });

  it('sees the written changes over a ladder of choruses with the held bars marked', async () => {
    const { page } = window;
    await arrange(page, 'Cellar Steps', 'Trio', 4);
    expect(await page.getByRole('row').count()).toBe(5);
    expect(await page.locator('.written-span').count()).toBeGreaterThanOrEqual(4);
    await page.getByRole('gridcell', { name: /Written, bars 1–4.*B flat maj7 held/u }).waitFor();
  });

  it('is given proposals for a held bar', async () => {
    const { page } = window;
    await page.getByRole('gridcell', { name: /^Chorus 2, bars 1–4/u }).click();
    expect(await page.locator('.device').count()).toBeGreaterThan(5);
    await page.getByText('Why this one').click();
    await page.getByText('Rubs with the comping').waitFor();
  });

  it('hears one before and after', async () => {
    const { page } = window;
    for (const which of ['Before', 'After']) {
      await page.getByRole('button', { name: which }).click();
      await page.getByRole('button', { name: /Stop/u }).waitFor({ timeout: 30_000 });
      await page.locator('.playhead').waitFor({ state: 'visible' });
      await page.getByRole('button', { name: /Stop/u }).click();
    }
    expect(window.requests.filter((address) => address.endsWith('.mp3')).length).toBeGreaterThan(5);
  });

  it('keeps one in chorus 2 and another in chorus 3', async () => {
    const { page } = window;
    await page.getByRole('gridcell', { name: /^Chorus 2, bars 1–4/u }).click();
    await page.keyboard.press('Enter');
    await cellSays(page, 2, /Chorus 2, bars 1–4\. .*kept for/u);
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('n');
    await page.keyboard.press('o');
    await cellSays(page, 3, /Chorus 3, bars 1–4\. .*kept for/u);
  });

  it('lays a third aside and takes that back', async () => {
    const { page } = window;
    await page.keyboard.press('ArrowDown');
    const before = await proposalsInAll(page);
    await page.keyboard.press('x');
    await expect.poll(() => proposalsInAll(page)).toBe(before - 1);
    await page.keyboard.press('u');
    await expect.poll(() => proposalsInAll(page)).toBe(before);
  });

  it('finds everything after the power went', async () => {
    const { page } = window;
    place = new URL(page.url()).hash;
    await host.kill();
    await page.keyboard.press('x');
    await page.getByRole('alert').filter({ hasText: 'does not answer' }).waitFor();
    await window.close();
    host = await startHost(library.file);
    const code = new URL(host.address).hash.slice(1);
    window = await openWindow(`${new URL(host.address).origin}/${place}&${code}`);
    await cellSays(window.page, 2, /Chorus 2, bars 1–4\. .*kept for/u);
    await cellSays(window.page, 3, /Chorus 3, bars 1–4\. .*kept for/u);
    await window.page.getByRole('tab', { name: 'History' }).click();
    expect(await window.page.locator('.history-undone').count()).toBe(1);
  });

  it('can still undo what was decided before it', async () => {
    const { page } = window;
    await page.getByRole('gridcell', { name: /^Chorus 3, bars 1–4/u }).click();
    await page.keyboard.press('u');
    await cellSays(page, 3, /Chorus 3, bars 1–4, B flat maj7 held/u);
    await page.keyboard.press('r');
    await cellSays(page, 3, /Chorus 3, bars 1–4\. .*kept for/u);
  });

  it('opens a comping chart and a soloist chart that differ', async () => {
    const { page } = window;
    const arrangementId = new URL(page.url()).hash.replace('#/ladder/', '');
    await page.getByRole('link', { name: 'Charts' }).click();
    const band = await ask<{ band: { chairs: { id: string; name: string; role: string }[] } }>(
      page,
      'band.get',
      {},
    );
    const charts: string[] = [];
    for (const role of ['comping', 'soloist']) {
      const chair = band.band.chairs.find((one) => one.role === role);
      if (!chair) throw new Error(`The sample band has no ${role}`);
      await page.getByRole('button', { name: chair.name, exact: true }).click();
      const sheet = page.getByRole('img', { name: `Chart for ${chair.name}, page 1` });
      await sheet.waitFor({ timeout: 45_000 });
      await sheet.evaluate((node) => (node as HTMLImageElement).decode());
      const { pages } = await ask<{ pages: string[] }>(page, 'charts.preview', {
        arrangementId,
        chairId: chair.id,
        options: {},
      });
      charts.push(pages.join());
    }
    expect(charts[0]).not.toBe(charts[1]);
    await page.getByRole('link', { name: 'Back to the ladder' }).click();
    await page.getByRole('grid').waitFor();
  });

  it('exports charts and sound for every chair', async () => {
    const { page } = window;
    await page.getByRole('button', { name: 'Export' }).click();
    await page.getByRole('button', { name: 'Make them' }).click();
    await page.getByRole('button', { name: 'Save all of them' }).waitFor({ timeout: 60_000 });
    const save = page.getByRole('button', { name: 'Save all of them' });
    await expect.poll(() => save.evaluate((it) => it === document.activeElement)).toBe(true);
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.keyboard.press('Enter'),
    ]);
    const files = unzipSync(new Uint8Array(await readFile(await download.path())));
    const names = Object.keys(files);
    const ofKind = (ending: string) => names.filter((name) => name.endsWith(ending));
    expect(ofKind('.pdf').length).toBeGreaterThanOrEqual(4);
    const scores = ofKind('.musicxml').map((name) => strFromU8(files[name] as Uint8Array));
    expect(new Set(scores).size).toBe(scores.length);
    const tracks = ofKind('.mid').map((name) => parseMidi(files[name] as Uint8Array).tracks.length);
    expect(Math.max(...tracks)).toBeGreaterThanOrEqual(5);
    await page.keyboard.press('Escape');
  });

  it('was never shown an error it should not have seen', async () => {
    expect(await here(window.page).count()).toBe(1);
    expect(window.complaints).toEqual([]);
  });
});
