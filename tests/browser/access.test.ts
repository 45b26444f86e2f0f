import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  arrange,
  freshLibrary,
  type Host,
  openWindow,
  startHost,
  type TestWindow,
  TUNE,
  writeTune,
} from './window.ts';

let library: Awaited<ReturnType<typeof freshLibrary>>;
let host: Host;
let window: TestWindow;
let ladder = '';

beforeAll(async () => {
  library = await freshLibrary();
  host = await startHost(library.file);
  window = await openWindow(host.address);
  await writeTune(window.page, TUNE);
  await arrange(window.page, 'Cellar Steps', 'For all', 3);
  ladder = new URL(window.page.url()).hash;
});

afterAll(async () => {
  await window?.close();
  await host?.close();
  await library?.remove();
});

const SCREENS = ['#/', '#/write', '#/sets', '#/band', '#/taste', '#/about'];

async function go(page: Page, hash: string): Promise<void> {
  await page.evaluate((to) => {
    location.hash = to;
  }, hash);
  await page.getByRole('main').locator('h1, h2, input, [role="grid"]').first().waitFor();
  await page.waitForTimeout(300);
}

/** Controls without a name, as a screen reader would meet them. */
async function nameless(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const controls = document.querySelectorAll<HTMLElement>(
      'button, a[href], input:not([hidden]), select, textarea, [role="gridcell"], [role="rowheader"], [role="tab"], img, progress, meter, dialog',
    );
    return [...controls]
      .filter((node) => node.checkVisibility())
      .filter((node) => {
        const labelled = node.getAttribute('aria-labelledby');
        const by = labelled ? document.getElementById(labelled)?.textContent : '';
        const labels = 'labels' in node ? [...(node.labels as NodeListOf<HTMLElement>)] : [];
        const words = [
          node.getAttribute('aria-label'),
          by,
          node.getAttribute('alt'),
          labels.map((label) => label.textContent).join(' '),
          node.matches('select, textarea, input') ? '' : node.textContent,
        ];
        return !words.some((word) => word && word.trim() !== '');
      })
      .map((node) => node.outerHTML.slice(0, 120));
  });
}

/** Controls smaller than a finger, px. */
async function small(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const least = 40;
    return [...document.querySelectorAll<HTMLElement>('button, a.button, select, .check, .cell')]
      .filter((node) => node.checkVisibility())
      .map((node) => ({ node, box: node.getBoundingClientRect() }))
      .filter(({ box }) => box.height < least - 0.5 || box.width < least - 0.5)
      .map(
        ({ node, box }) =>
          `${Math.round(box.width)}x${Math.round(box.height)} ${node.outerHTML.slice(0, 90)}`,
      );
  });
}

describe('every screen', () => {
  it.each([...SCREENS, 'the ladder'])('names all its controls: %s', async (hash) => {
    await go(window.page, hash === 'the ladder' ? ladder : hash);
    expect(await nameless(window.page)).toEqual([]);
  });

  it.each([...SCREENS, 'the ladder'])('has targets a finger can hit: %s', async (hash) => {
    await go(window.page, hash === 'the ladder' ? ladder : hash);
    expect(await small(window.page)).toEqual([]);
  });

  it.each([...SCREENS, 'the ladder'])('uses every id once: %s', async (hash) => {
    await go(window.page, hash === 'the ladder' ? ladder : hash);
    const ids = await window.page.evaluate(() =>
      [...document.querySelectorAll('[id]')].map((node) => node.id),
    );
    expect(ids.filter((id, index) => ids.indexOf(id) !== index)).toEqual([]);
  });

  it.each([...SCREENS, 'the ladder'])(
    'has no sideways scrolling at twice the size: %s',
    async (hash) => {
      await window.page.setViewportSize({ width: 640, height: 360 });
      await go(window.page, hash === 'the ladder' ? ladder : hash);
      const over = await window.page.evaluate(() => {
        const main = document.querySelector('main');
        return Math.max(document.documentElement.scrollWidth, main?.scrollWidth ?? 0) - innerWidth;
      });
      await window.page.setViewportSize({ width: 1280, height: 720 });
      expect(over).toBeLessThanOrEqual(0);
    },
  );
});

describe('the ladder', () => {
  it('is a grid whose counts and places are told', async () => {
    const { page } = window;
    await go(page, ladder);
    const grid = page.getByRole('grid');
    expect(await grid.getAttribute('aria-rowcount')).toBe('4');
    const columns = Number(await grid.getAttribute('aria-colcount'));
    for (const row of await page.getByRole('row').all()) {
      const cells = row.locator('[role="gridcell"], [role="rowheader"]');
      expect(await cells.count()).toBe(columns);
    }
  });

  it('keeps the written changes in sight however far one goes', async () => {
    const { page } = window;
    await page.setViewportSize({ width: 900, height: 420 });
    await page.getByRole('gridcell').last().click();
    const seen = await page.evaluate(() => {
      const written = document.querySelector('.written')?.getBoundingClientRect();
      const box = document.querySelector('.ladder')?.getBoundingClientRect();
      return written && box ? Math.round(written.top - box.top) : null;
    });
    await page.setViewportSize({ width: 1280, height: 720 });
    expect(seen).toBe(0);
  });

  it.each(['light', 'dim'])('has words that stand out from the paper: %s', async (theme) => {
    const { page } = window;
    await go(page, ladder);
    await page.evaluate((to) => {
      document.documentElement.dataset.theme = to;
    }, theme);
    // WCAG 2.2, 1.4.3: 4.5 to 1; luminance as defined there.
    const least = await page.evaluate(() => {
      const canvas = document
        .createElement('canvas')
        .getContext('2d', { willReadFrequently: true });
      const rgb = (colour: string) => {
        if (!canvas) throw new Error('no canvas');
        canvas.clearRect(0, 0, 1, 1);
        canvas.fillStyle = colour;
        canvas.fillRect(0, 0, 1, 1);
        return [...canvas.getImageData(0, 0, 1, 1).data];
      };
      const light = (colour: readonly number[]) =>
        [0.2126, 0.7152, 0.0722].reduce((sum, share, index) => {
          const part = (colour[index] ?? 0) / 255;
          return sum + share * (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
        }, 0);
      const behind = (node: Element | null): readonly number[] => {
        for (let at = node; at; at = at.parentElement) {
          const colour = rgb(getComputedStyle(at).backgroundColor);
          if (colour[3] === 255) return colour;
        }
        return [255, 255, 255];
      };
      const ratios: { ratio: number; words: string }[] = [];
      for (const node of document.querySelectorAll<HTMLElement>('main *')) {
        const own = [...node.childNodes].some(
          (child) => child.nodeType === Node.TEXT_NODE && child.textContent?.trim(),
        );
        if (!own || !node.checkVisibility() || node.matches(':disabled, :disabled *, option'))
          continue;
        const [a, b] = [light(rgb(getComputedStyle(node).color)), light(behind(node))];
        const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
        ratios.push({ ratio, words: node.textContent?.slice(0, 40) ?? '' });
      }
      return ratios.sort((x, y) => x.ratio - y.ratio)[0];
    });
    await page.evaluate(() => {
      delete document.documentElement.dataset.theme;
    });
    expect(least?.ratio, least?.words).toBeGreaterThanOrEqual(4.5);
  });

  it('shows where the focus is on everything that takes it', async () => {
    const { page } = window;
    await go(page, ladder);
    for (let press = 0; press < 40; press++) {
      await page.keyboard.press('Tab');
      const outline = await page.evaluate(() => {
        const node = document.activeElement;
        if (!node || node === document.body) return 'none here';
        const { outlineStyle, outlineWidth } = getComputedStyle(node);
        return outlineStyle === 'none' ? node.outerHTML.slice(0, 100) : outlineWidth;
      });
      expect(outline).toMatch(/^(none here|[2-9]px)$/u);
    }
  });
});

describe('dialogs', () => {
  it.each(['Settings', 'Plan all choruses', 'Export', 'Keys', 'For all'])(
    '%s closes with Escape and gives the focus back',
    async (name) => {
      const { page } = window;
      await go(page, ladder);
      const button = page.getByRole('button', { name, exact: true });
      await button.click();
      const dialog = page.getByRole('dialog');
      await dialog.waitFor();
      expect(await nameless(page)).toEqual([]);
      await page.keyboard.press('Escape');
      await dialog.waitFor({ state: 'detached' });
      expect(await button.evaluate((node) => node === document.activeElement)).toBe(true);
    },
  );
});

describe('the window', () => {
  it('asks nothing of anyone but its own host, and breaks no rule of the content policy', () => {
    const origin = new URL(host.address).origin;
    const foreign = window.requests.filter(
      (address) => !address.startsWith(`${origin}/`) && !address.startsWith(`blob:${origin}/`),
    );
    expect(foreign).toEqual([]);
    expect(window.complaints).toEqual([]);
  });

  it('takes the code out of its address, and stays in when it is loaded again', async () => {
    const { page } = window;
    expect(page.url()).not.toContain('open=');
    await page.reload();
    await page.getByRole('navigation').waitFor();
    expect(await page.getByRole('alert').count()).toBe(0);
  });

  it('is not opened by an address that was used before, and says so', async () => {
    const stranger = await openWindow(host.address);
    await stranger.page.getByRole('alert').filter({ hasText: 'was used before' }).first().waitFor();
    expect(await stranger.page.locator('.tune').count()).toBe(0);
    await stranger.close();
  });
});
