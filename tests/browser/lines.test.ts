import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  arrange,
  cellSays,
  freshLibrary,
  type Host,
  openWindow,
  startHost,
  type TestWindow,
  TUNE,
  writeTune,
} from './window.ts';

/** What every note of the shown line says of itself. */
function notes(page: Page): Promise<(string | null)[]> {
  return page
    .locator('.strip .note')
    .evaluateAll((heads) => heads.map((head) => head.getAttribute('aria-label')));
}

function chosen(page: Page): Promise<string | null> {
  return page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? null);
}

/** One sitting; each step stands on the one before. */
describe('a line for a soloist', () => {
  let library: Awaited<ReturnType<typeof freshLibrary>>;
  let host: Host;
  let window: TestWindow;
  let kept: (string | null)[] = [];

  beforeAll(async () => {
    library = await freshLibrary();
    host = await startHost(library.file);
    window = await openWindow(host.address);
    await writeTune(window.page, TUNE);
    await arrange(window.page, 'Cellar Steps', 'Lines', 3);
  });

  afterAll(async () => {
    await window?.close();
    await host?.close();
    await library?.remove();
  });

  it('is written for a chosen chorus, and another is another', async () => {
    const { page } = window;
    await page.locator('[role="rowheader"][data-row="2"]').click();
    await page.getByRole('radio', { name: 'plain', exact: true }).last().check();
    await page.getByRole('button', { name: 'Write a line' }).click();
    await page.locator('.strip .note').first().waitFor();
    const first = await notes(page);
    expect(first.length).toBeGreaterThan(16);
    expect(first[0]).toMatch(/^bar 1, (?:after )?beat \d: [A-G](?: flat| sharp)? \d, /u);
    await page.getByRole('button', { name: 'Another' }).click();
    await expect.poll(() => notes(page)).not.toEqual(first);
    await page.getByRole('button', { name: 'Back a step' }).click();
    expect(await notes(page)).toEqual(first);
  });

  it('is changed note by note from the keyboard', async () => {
    const { page } = window;
    const before = await notes(page);
    await page.locator('.strip .note').first().focus();
    await page.keyboard.press('ArrowRight');
    expect(await chosen(page)).toBe(before[1]);
    await page.keyboard.press('Shift+ArrowUp');
    const up = before[1]?.replace(/\d(?=, [^,]*$)/u, (octave) => String(Number(octave) + 1));
    expect(await chosen(page)).toBe(up);
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    expect(await chosen(page)).not.toBe(before[1]);
    await page.keyboard.press('Delete');
    expect(await notes(page)).toHaveLength(before.length - 1);
    await page.waitForFunction(() => document.activeElement?.classList.contains('note'));
    await page.locator('.strip .note').first().focus();
    const long = await chosen(page);
    await page.keyboard.press(']');
    expect(await chosen(page)).not.toBe(long);
    await page.keyboard.press('[');
    expect(await chosen(page)).toBe(long);
  });

  it('takes new notes: after another, by their letter, and where the staff is pressed', async () => {
    const { page } = window;
    const before = await notes(page);
    await page.locator('.strip .note').first().focus();
    // Room behind the first note: it is a quarter or longer, or a rest follows.
    for (let at = 0; at < 3; at++) await page.keyboard.press(']');
    await page.keyboard.press('g');
    await expect.poll(() => notes(page)).toHaveLength(before.length + 1);
    await expect.poll(() => chosen(page)).toMatch(/: G \d, /u);
    await page.keyboard.press('Delete');
    await page.getByRole('button', { name: 'Put a note after it' }).click();
    await expect.poll(() => notes(page)).toHaveLength(before.length + 1);
    await page.getByRole('button', { name: 'Back a step' }).click();
    await page.getByRole('button', { name: 'Back a step' }).click();
    await page.getByRole('button', { name: 'Back a step' }).click();
    await expect.poll(() => notes(page)).toHaveLength(before.length);
  });

  it('is read as its player reads it, or at concert pitch, and is the same line', async () => {
    const { page } = window;
    const written = await notes(page);
    const octave = (words: string | null) => /: ([A-G][^,]*\d),/u.exec(words ?? '')?.[1];
    await page.getByRole('radio', { name: 'Concert pitch' }).check();
    const concert = await notes(page);
    expect(concert).toHaveLength(written.length);
    // A trumpet in B flat reads a tone above what sounds.
    expect(concert.map(octave)).not.toEqual(written.map(octave));
    await page.getByRole('radio', { name: /reads it$/u }).check();
    expect(await notes(page)).toEqual(written);
  });

  it('is still on the desk after the window was closed', async () => {
    const { page } = window;
    const before = await notes(page);
    await page.reload();
    await page.locator('[role="rowheader"][data-row="2"]').click();
    await page.locator('.strip .note').first().waitFor();
    expect(await notes(page)).toEqual(before);
  });

  it('is heard before it is kept', async () => {
    const { page } = window;
    await page.getByRole('button', { name: 'Hear it' }).click();
    await page.getByText('The line', { exact: true }).waitFor();
    await page.getByRole('button', { name: /^Stop/u }).click();
  });

  it('is kept, said on its rung, undone and made again by the history', async () => {
    const { page } = window;
    kept = await notes(page);
    await page.getByRole('button', { name: 'Keep the line' }).click();
    await page.getByRole('button', { name: 'Take the line out' }).waitFor();
    await cellSays(page, 2, /Trumpet: a written line/u);
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'Write a line' }).waitFor();
    await page.getByRole('button', { name: 'Redo' }).click();
    await page.getByRole('button', { name: 'Take the line out' }).waitFor();
    expect(await notes(page)).toEqual(kept);
  });

  it('is still there when the program is opened again, and can be taken out', async () => {
    await window.page.reload();
    const { page } = window;
    await page.locator('[role="rowheader"][data-row="2"]').click();
    await page.locator('.strip .note').first().waitFor();
    expect(await notes(page)).toEqual(kept);
    await page.getByRole('button', { name: 'Take the line out' }).click();
    await page.getByRole('button', { name: 'Write a line' }).waitFor();
    expect(await page.locator('.strip').count()).toBe(0);
  });

  it('leaves the console quiet', () => {
    expect(window.complaints).toEqual([]);
  });
});
