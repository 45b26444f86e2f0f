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

describe('with the keyboard alone', () => {
  let library: Awaited<ReturnType<typeof freshLibrary>>;
  let host: Host;
  let window: TestWindow;

  beforeAll(async () => {
    library = await freshLibrary();
    host = await startHost(library.file);
    window = await openWindow(host.address);
    await writeTune(window.page, TUNE);
    await arrange(window.page, 'Cellar Steps', 'Keys only', 3);
  });

  afterAll(async () => {
    await window?.close();
    await host?.close();
    await library?.remove();
  });

  /** Presses Tab until something with this role and name has the focus. */
  async function tabTo(role: string, name: RegExp, most = 60): Promise<void> {
    const { page } = window;
    for (let press = 0; press < most; press++) {
      const found = await page.evaluate(
        ([wanted, words]) => {
          const node = document.activeElement;
          const own = node?.getAttribute('role') ?? node?.tagName.toLowerCase();
          const label = node?.getAttribute('aria-label') ?? node?.textContent ?? '';
          return own === wanted && new RegExp(words ?? '', 'u').test(label);
        },
        [role, name.source],
      );
      if (found) return;
      await page.keyboard.press('Tab');
    }
    throw new Error(`No ${role} ${name} within ${most} presses of Tab`);
  }

  it('the ladder is one stop of the Tab key', async () => {
    await window.page.locator('body').press('Home');
    await tabTo('gridcell', /Chorus 1/u);
    await window.page.keyboard.press('Tab');
    const role = await window.page.evaluate(() => document.activeElement?.getAttribute('role'));
    expect(role).not.toBe('gridcell');
    await window.page.keyboard.press('Shift+Tab');
    expect(await here(window.page).evaluate((node) => node === document.activeElement)).toBe(true);
  });

  it('arrows go along the chorus and from chorus to chorus', async () => {
    const { page } = window;
    await here(page).focus();
    const start = await here(page).getAttribute('aria-label');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowDown');
    const label = await here(page).getAttribute('aria-label');
    expect(label).toMatch(/^Chorus 2/u);
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowLeft');
    expect(await here(page).getAttribute('aria-label')).toBe(start);
    await page.keyboard.press('Home');
    await page.keyboard.press('ArrowLeft');
    const head = await page.evaluate(() => document.activeElement?.getAttribute('role'));
    expect(head).toBe('rowheader');
    await page.keyboard.press('ArrowRight');
  });

  it('one key keeps, one lays aside, one undoes, one redoes', async () => {
    const { page } = window;
    await page.keyboard.press('Home');
    await page.keyboard.press('Enter');
    await cellSays(page, 1, /Chorus 1, bars 1–4\. .*kept for/u);
    await page.keyboard.press('x');
    await cellSays(page, 1, /Chorus 1, bars 1–4, B flat maj7 held/u);
    await page.keyboard.press('u');
    await cellSays(page, 1, /Chorus 1, bars 1–4\. .*kept for/u);
    await page.keyboard.press('u');
    await cellSays(page, 1, /Chorus 1, bars 1–4, B flat maj7 held/u);
    await page.keyboard.press('Control+y');
    await cellSays(page, 1, /Chorus 1, bars 1–4\. .*kept for/u);
    await page.keyboard.press('Control+z');
  });

  it('the bench has one entry a device, and one key opens its other ways', async () => {
    const { page } = window;
    const devices = await page.locator('.device .proposal-name').allTextContents();
    expect(new Set(devices).size).toBe(devices.length);
    const seen = page.locator('.proposal');
    const closed = await seen.count();
    expect(closed).toBe(devices.length);
    await page.keyboard.press('m');
    await page.locator('.ways').waitFor();
    const name = await page.locator('.proposal-chosen .proposal-name').textContent();
    await page.keyboard.press('n');
    await page.locator('.ways .proposal-chosen').waitFor();
    expect(await here(page).evaluate((node) => node === document.activeElement)).toBe(true);
    await page.keyboard.press('m');
    await page.locator('.ways').waitFor({ state: 'detached' });
    expect(await page.locator('.proposal-chosen .proposal-name').textContent()).toBe(name);
    expect(await seen.count()).toBe(closed);
  });

  it('arrows go over the entries of the bench, with the focus on the chosen card', async () => {
    const { page } = window;
    const card = page.locator('.proposal-chosen');
    const onCard = () => card.evaluate((node) => node === document.activeElement);
    await card.focus();
    const first = await card.getAttribute('aria-label');
    await page.keyboard.press('ArrowDown');
    expect(await card.getAttribute('aria-label')).not.toBe(first);
    expect(await onCard()).toBe(true);
    await page.keyboard.press('ArrowRight');
    await page.locator('.ways').waitFor();
    expect(await onCard()).toBe(true);
    const opener = page.locator('.device', { has: card }).locator('.ways-button');
    expect(await opener.getAttribute('aria-expanded')).toBe('true');
    await page.keyboard.press('ArrowDown');
    await page.locator('.ways .proposal-chosen').waitFor();
    expect(await onCard()).toBe(true);
    await page.keyboard.press('ArrowLeft');
    await page.locator('.ways').waitFor({ state: 'detached' });
    expect(await onCard()).toBe(true);
    await page.keyboard.press('x');
    await page.getByText('Show 1 laid aside').waitFor();
    expect(await onCard()).toBe(true);
    await page.keyboard.press('u');
    await page.getByText('Show 1 laid aside').waitFor({ state: 'detached' });
    await here(page).focus();
  });

  it.each(['Home', 'End'])(
    'shows the whole card and other entries at 1280 by 720, at the %s of the form',
    async (key) => {
      const { page } = window;
      await here(page).press(key);
      await page.locator('.proposal-chosen').waitFor();
      const { whole, others } = await page.evaluate(() => {
        const frame = document.querySelector('.bench-body')?.getBoundingClientRect();
        const inside = (node: Element) => {
          const box = node.getBoundingClientRect();
          return (
            frame !== undefined &&
            box.top >= frame.top &&
            box.bottom <= frame.bottom &&
            box.right <= Math.min(frame.right, innerWidth)
          );
        };
        return {
          whole: [...document.querySelectorAll('.proposal-chosen')].filter(inside).length,
          others: [...document.querySelectorAll('.proposal-best')].filter(inside).length,
        };
      });
      expect(whole).toBe(1);
      expect(others).toBeGreaterThanOrEqual(3);
      await here(page).press('Home');
    },
  );

  it('changes are written by hand, and mistakes are named at their bar', async () => {
    const { page } = window;
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('h');
    await page.keyboard.type('Xyz');
    await page.locator('.hand-problem', { hasText: 'Xyz' }).waitFor();
    await page.keyboard.press('Control+a');
    await page.keyboard.type('Bbmaj7 Ebm6');
    await page.keyboard.press('Enter');
    await cellSays(page, 2, /Written by hand for the band: B flat maj7, E flat m6/u);
  });

  it('the focus comes back to the ladder after writing by hand', async () => {
    const role = await window.page.evaluate(() => document.activeElement?.getAttribute('role'));
    expect(role).toBe('gridcell');
  });

  it('a sheet of keys opens with ? and closes with Escape', async () => {
    const { page } = window;
    await here(page).focus();
    await page.keyboard.press('?');
    await page.getByRole('dialog', { name: 'Keys on the ladder' }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    expect(await here(page).evaluate((node) => node === document.activeElement)).toBe(true);
  });

  it('sounds and stops with the space bar', async () => {
    const { page } = window;
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: /Stop/u }).waitFor({ timeout: 30_000 });
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: /Play/u }).waitFor();
  });
});
