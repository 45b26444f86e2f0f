import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadSqlite } from '../../main/library/connection.ts';
import {
  arrange,
  freshLibrary,
  type Host,
  here,
  openWindow,
  startHost,
  type TestWindow,
  TUNE,
  writeTune,
} from './window.ts';

let library: Awaited<ReturnType<typeof freshLibrary>>;
let host: Host;
let window: TestWindow;

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

const text = (title: string) => TUNE.replace('Cellar Steps', title);
const file = (name: string, words: string) => ({
  name,
  mimeType: 'text/plain',
  buffer: Buffer.from(words),
});

/** Waits until an editor that keeps by itself has kept everything. */
const kept = (page: TestWindow['page']) => page.getByText('Kept', { exact: true }).waitFor();

describe('the library', () => {
  it('takes in many files and tells what came of each', async () => {
    const { page } = window;
    await page
      .getByLabel('Files to bring in')
      .setInputFiles([
        file('good.txt', text('Brought In')),
        file('bad.txt', 'title: Broken\n| Xyz |'),
        file('empty.txt', ''),
      ]);
    const results = page.getByRole('status', { name: 'Files brought in' });
    await results.getByRole('link', { name: 'Brought In' }).waitFor();
    expect(await results.locator('.import-failed').count()).toBe(2);
    expect(await results.getByRole('heading').textContent()).toBe('1 tune brought in, 2 files not');
    await page.getByRole('button', { name: 'Put this list away' }).click();
  });

  it('finds a tune by its title and by a chord', async () => {
    const { page } = window;
    const find = page.getByRole('searchbox', { name: 'Find tunes' });
    await find.fill('brought');
    await page.waitForFunction(() => document.querySelectorAll('.tune').length === 1);
    await find.fill('nothing is called like this');
    await page.getByText('No tune has').waitFor();
    await find.fill('');
    await page.waitForFunction(() => document.querySelectorAll('.tune').length > 10);
  });

  it('puts a tune in the bin and takes it back', async () => {
    const { page } = window;
    await page.locator('.tune a', { hasText: 'Brought In' }).click();
    await page.getByRole('button', { name: 'To the bin' }).click();
    await page.getByText('The tune is in the bin.').waitFor();
    await page.locator('.tune').first().waitFor();
    expect(await page.locator('.tune', { hasText: 'Brought In' }).count()).toBe(0);
    await page.getByLabel('Show the bin').check();
    await page.getByRole('button', { name: 'Put Brought In back' }).click();
    await page.getByText('The bin is empty.').waitFor();
    await page.getByLabel('Show the bin').uncheck();
    await page.locator('.tune', { hasText: 'Brought In' }).waitFor();
  });

  it('shows a tune with a title as long as a page, without breaking', async () => {
    const { page } = window;
    const long = 'Long way home '.repeat(12).trim();
    await writeTune(page, text(long));
    await arrange(page, long, 'All night '.repeat(15).trim(), 2);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(over).toBeLessThanOrEqual(0);
    expect(await page.getByRole('button', { name: 'Undo' }).isVisible()).toBe(true);
  });
});

describe('the band', () => {
  it('keeps a chair that was added, moved and given an instrument', async () => {
    const { page } = window;
    await page.getByRole('link', { name: 'Band' }).click();
    await page.getByRole('button', { name: 'Another chair' }).click();
    const last = page.locator('.chair').last();
    await last.getByLabel(/^Instrument of/u).selectOption({ label: 'Trombone' });
    expect(await last.getByLabel('Name of the chair').inputValue()).toBe('Trombone');
    await page.getByRole('button', { name: 'Move Trombone up' }).click();
    await kept(page);
    await page.reload();
    await page.getByLabel('Name of the chair').first().waitFor();
    const names = await page
      .getByLabel('Name of the chair')
      .evaluateAll((nodes) => nodes.map((node) => (node as HTMLInputElement).value));
    expect(names.indexOf('Trombone')).toBe(names.length - 2);
  });
});

describe('how a chair is strung and voiced', () => {
  const guitar = () =>
    window.page.locator('.chair', { has: window.page.getByLabel('Instrument of Guitar') });

  it('is chosen, written, refused with what to do, and kept', async () => {
    const { page } = window;
    await guitar().locator('summary').click();
    await guitar().getByLabel('Tuning').selectOption({ label: 'DADGAD (D A D G A D)' });
    await guitar().getByLabel('Capo').selectOption('2');
    await guitar().getByLabel('Left-handed').check();
    await guitar().getByLabel('Voicings').selectOption({ label: 'drop 2' });
    await guitar()
      .getByLabel('The top note')
      .selectOption({ label: 'under the melody, in the head' });
    await kept(page);
    expect(await guitar().locator('summary').textContent()).toBe(
      'DADGAD, capo 2, left-handed, drop 2, under the melody',
    );
    await guitar().getByLabel('Tuning').selectOption({ label: 'another: write it' });
    const strings = guitar().getByLabel('Open strings, lowest first');
    await strings.fill('B E A D G H E');
    await page.getByText('String 6: “H” is no note.').waitFor();
    await page.getByText(/needs a tuning that can be played/u).waitFor();
    await strings.fill('B E A D G B E');
    await kept(page);
    await page.reload();
    await guitar().locator('summary').click();
    expect(await guitar().getByLabel('Tuning').locator('option:checked').textContent()).toBe(
      'seven strings, low B (B E A D G B E)',
    );
    expect(await guitar().getByLabel('Capo').inputValue()).toBe('2');
  });

  it('leaves what was typed and cannot be kept where it was, over leaving and closing', async () => {
    const { page } = window;
    const name = page.getByLabel('Name of the chair').first();
    const before = await name.inputValue();
    await name.fill('');
    await page.getByText('Every chair needs a name.').waitFor();
    await page.getByRole('link', { name: 'Taste' }).click();
    await page.getByRole('link', { name: 'Band' }).click();
    expect(await name.inputValue()).toBe('');
    await page.reload();
    expect(await name.inputValue()).toBe('');
    await name.fill('Archtop');
    await page.getByRole('link', { name: 'Taste' }).click();
    await page.getByRole('link', { name: 'Band' }).click();
    await kept(page);
    expect(await name.inputValue()).toBe('Archtop');
    await name.fill(before);
    await kept(page);
  });

  it('is undone and done again step by step', async () => {
    const { page } = window;
    const chairs = page.locator('.chair');
    const count = await chairs.count();
    await page
      .getByRole('button', { name: /^Take .* out$/u })
      .last()
      .click();
    await kept(page);
    expect(await chairs.count()).toBe(count - 1);
    await page.getByRole('button', { name: 'Undo' }).click();
    await kept(page);
    expect(await chairs.count()).toBe(count);
    await page.getByRole('button', { name: 'Redo' }).click();
    expect(await chairs.count()).toBe(count - 1);
    await page.getByRole('button', { name: 'Undo' }).click();
    await kept(page);
  });
});

describe('what was typed and not kept', () => {
  it('is there again in a tune’s text, and can be put away and got back', async () => {
    const { page } = window;
    await writeTune(page, text('Half Written'));
    const area = page.getByRole('textbox', { name: 'Tune text' });
    const open = () => page.getByRole('link', { name: 'Open its text' }).click();
    await open();
    const before = await area.inputValue();
    await area.fill(`${before}| Dm7 |`);
    await page.getByRole('button', { name: 'Leave it' }).click();
    await open();
    await page.getByText('This is what you had typed and not kept.').waitFor();
    expect(await area.inputValue()).toBe(`${before}| Dm7 |`);
    await page.reload();
    expect(await area.inputValue()).toBe(`${before}| Dm7 |`);
    await page.getByRole('button', { name: 'Go back to the kept text' }).click();
    expect(await area.inputValue()).toBe(before);
    await page.getByRole('button', { name: 'Get it back' }).click();
    expect(await area.inputValue()).toBe(`${before}| Dm7 |`);
    await page.getByRole('button', { name: 'Keep it' }).click();
    await open();
    await area.waitFor();
    expect(await page.getByText('This is what you had typed').count()).toBe(0);
  });

  it('is there again in changes by hand', async () => {
    const { page } = window;
    await page.getByRole('link', { name: 'Tunes', exact: true }).click();
    await arrange(page, 'Half Written', 'By hand', 2);
    const bar = page.getByRole('form', { name: 'Changes by hand' }).getByRole('textbox').first();
    await page.getByRole('gridcell', { name: /^Chorus 1, bars 1–4/u }).click();
    await page.keyboard.press('h');
    await bar.fill('Dm7 Qz');
    await page.getByRole('gridcell', { name: /^Chorus 2, bars 1–4/u }).click();
    await page.reload();
    await page.getByRole('gridcell', { name: /^Chorus 1, bars 1–4/u }).click();
    await page.keyboard.press('h');
    expect(await bar.inputValue()).toBe('Dm7 Qz');
    await page.getByRole('button', { name: 'As it stands' }).click();
    expect(await bar.inputValue()).toBe('Bbmaj7');
    await page.keyboard.press('Escape');
  });
});

describe('the ladder read by a chair', () => {
  it('shows the written changes in its transposition', async () => {
    const { page } = window;
    await writeTune(page, text('For The Horn'));
    await arrange(page, 'For The Horn', 'Read in B flat', 2);
    const first = page.locator('.written-chord .chord').first();
    expect(await first.textContent()).toBe('B♭maj7');
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByLabel('Read the ladder as').selectOption({ label: 'Tenor saxophone' });
    expect(await first.textContent()).toBe('Cmaj7');
    await page.getByText('Signs:').click();
    expect(await first.locator('.chord-sign').count()).toBe(1);
    await page.getByLabel('Read the ladder as').selectOption({ label: 'Concert pitch' });
    await page.getByText('Words:').click();
    await page.keyboard.press('Escape');
    expect(await first.textContent()).toBe('B♭maj7');
  });
});

describe('the charts', () => {
  it('are set as asked, and keep that for the next time', async () => {
    const { page } = window;
    await page.getByRole('link', { name: 'Charts' }).click();
    await page.getByRole('button', { name: 'Double bass', exact: true }).click();
    const sheet = page.getByRole('img', { name: /^Chart for Double bass, page 1/u });
    await sheet.waitFor({ timeout: 45_000 });
    const plain = await sheet.getAttribute('src');
    await page.getByRole('button', { name: 'How charts are set' }).click();
    await page.getByLabel('The bass line written out, in the tune’s feel').check();
    await page.keyboard.press('Escape');
    await page.waitForFunction(
      (before) => document.querySelector('.stand img')?.getAttribute('src') !== before,
      plain,
    );
    /** The first page that comes of doing something. */
    const drawn = async (act: () => Promise<unknown>) => {
      const answer = page.waitForResponse((one) => one.url().endsWith('/charts.preview'));
      await act();
      const { value } = (await (await answer).json()) as { value: { pages: readonly string[] } };
      return value.pages[0];
    };
    const guideTones = await drawn(() =>
      page.getByRole('button', { name: 'Tenor saxophone', exact: true }).click(),
    );
    await page.getByRole('button', { name: 'How charts are set' }).click();
    const choose = page.getByLabel('In the soloists’ own choruses');
    const busy = await drawn(() => choose.selectOption('busy'));
    const others = await drawn(() => page.getByRole('button', { name: 'Others' }).click());
    expect(new Set([guideTones, busy, others]).size).toBe(3);
    expect(await drawn(() => choose.selectOption({ label: 'Guide tones' }))).toBe(guideTones);
    await page.keyboard.press('Escape');
    await page.reload();
    await page.getByRole('button', { name: 'How charts are set' }).click();
    expect(await page.getByLabel('The bass line written out, in the tune’s feel').isChecked()).toBe(
      true,
    );
    await page.keyboard.press('Escape');
    await page.getByRole('link', { name: 'Back to the ladder' }).click();
    await page.getByRole('grid').waitFor();
  });
});

describe('planning all choruses', () => {
  it('fills free places in one decision that one undo takes back', async () => {
    const { page } = window;
    await page.getByRole('button', { name: 'Plan all choruses' }).click();
    const slips = page.locator('.slip-band, .slip-soloist');
    const levels = page.getByRole('dialog').getByRole('slider');
    await page.locator('.plan-outcome').waitFor({ timeout: 20_000 });
    // Turned faster than plans are made: the plan is the one for where the knobs end.
    for (const level of ['5', '3', '0'])
      for (const one of await levels.all()) await one.fill(level);
    await page.getByText('every free bar stays as written').waitFor();
    await page.getByRole('slider', { name: 'Intensity of chorus 2' }).fill('5');
    const summary = page.locator('.plan-preview summary');
    const planned = Number.parseInt((await summary.textContent()) ?? '', 10);
    expect(planned).toBeGreaterThan(0);
    await summary.click();
    await expect.poll(() => page.locator('.plan-preview li .changes-line').count()).toBe(planned);
    await page.getByRole('button', { name: 'Take this plan' }).click();
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    expect(await slips.count()).toBe(planned);
    await page.getByRole('button', { name: 'Undo' }).click();
    await slips.first().waitFor({ state: 'detached' });
  });

  it('can be gone back on once too often without an alarm', async () => {
    const { page } = window;
    const redo = page.getByRole('button', { name: 'Redo' });
    await redo.click();
    await page.locator('.slip-band, .slip-soloist').first().waitFor();
    await here(page).focus();
    for (const _ of [1, 2]) await page.keyboard.press('r');
    await page.getByText('There is nothing to redo.').waitFor();
    expect(await page.getByRole('alert').count()).toBe(0);
    await page.keyboard.press('u');
    await page.locator('.slip-band, .slip-soloist').first().waitFor({ state: 'detached' });
  });
});

describe('a tune that became shorter', () => {
  it('says what lies behind its end, and takes it out when asked', async () => {
    const { page } = window;
    await writeTune(page, text('Cut Short'));
    await arrange(page, 'Cut Short', 'Before the cut', 2);
    await page.getByRole('gridcell', { name: /^Chorus 1, bars 17–18/u }).click();
    await page.keyboard.press('Enter');
    await page.locator('.slip-band, .slip-soloist').waitFor();
    await page.getByRole('link', { name: 'Cut Short' }).click();
    await page.getByRole('link', { name: 'Open its text' }).click();
    await page
      .getByRole('textbox', { name: 'Tune text' })
      .fill('title: Cut Short\nkey: Bb major\n| Bbmaj7 | % | Cm7 | F7 |');
    await page.getByRole('button', { name: 'Keep it' }).click();
    await page.getByRole('link', { name: /^Before the cut/u }).click();
    await page.getByText('1 decision that cannot be shown').waitFor();
    await page.getByRole('button', { name: 'Take them out' }).click();
    await page.getByText('1 decision that cannot be shown').waitFor({ state: 'detached' });
  });
});

describe('a set', () => {
  it('is put together, ordered by keys, and tells how long it takes', async () => {
    const { page } = window;
    await page.getByRole('link', { name: 'Sets' }).click();
    await page.getByLabel('A new set').fill('Friday');
    await page.getByRole('button', { name: 'Start it' }).click();
    const putIn = page.getByLabel('Put in');
    for (const [at, words] of ['For The Horn', 'Long way home'].entries()) {
      const option = await putIn
        .locator('option', { hasText: words })
        .first()
        .getAttribute('value');
      await putIn.selectOption(option);
      await page.getByRole('button', { name: 'Put it in' }).click();
      await page.locator('.set-entry').nth(at).waitFor();
    }
    expect(await page.locator('.set-total').textContent()).toMatch(/^\d+:\d\d/u);
    await page.getByRole('button', { name: /^Move Long way home.* up$/u }).click();
    await page.waitForFunction(() =>
      document.querySelector('.set-entry')?.textContent?.includes('Long way home'),
    );
    await page.reload();
    await page.locator('.set-entry').first().waitFor();
    expect(await page.locator('.set-entry').first().textContent()).toContain('Long way home');
  });

  it('is ordered by dragging too', async () => {
    const { page } = window;
    await page.locator('.set-entry').nth(1).dragTo(page.locator('.set-entry').first());
    await page.waitForFunction(() =>
      document.querySelector('.set-entry')?.textContent?.includes('For The Horn'),
    );
  });
});

describe('a set with a tune that cannot be read', () => {
  it('is listed and opened, says what to do, and can still be put in order', async () => {
    const { page } = window;
    const db = new (loadSqlite())(library.file);
    db.prepare(
      "UPDATE tunes SET text = replace(text, 'Cm7', 'Qz') WHERE title = 'For The Horn'",
    ).run();
    db.close();
    await page.getByRole('link', { name: 'Sets' }).click();
    const row = page.locator('.set-row', { hasText: 'Friday' });
    expect(await row.textContent()).toContain('1 tune in it cannot be read');
    await row.getByRole('link').click();
    const bad = page.locator('.set-entry-wrong');
    await bad.waitFor();
    expect(await bad.textContent()).toContain('Its tune cannot be read');
    expect(await page.getByRole('button', { name: 'Make the books' }).isDisabled()).toBe(true);
    await page.getByLabel('Note on For The Horn').fill('mend it first');
    await kept(page);
    await bad.getByRole('link', { name: 'Open its text' }).click();
    const area = page.getByRole('textbox', { name: 'Tune text' });
    await area.fill((await area.inputValue()).replaceAll('Qz', 'Cm7'));
    await page.getByRole('button', { name: 'Keep it' }).click();
    await page.getByRole('button', { name: 'New arrangement' }).waitFor();
    await page.getByRole('link', { name: 'Sets' }).click();
    await row.getByRole('link').click();
    await page.locator('.set-entry').first().waitFor();
    expect(await bad.count()).toBe(0);
    expect(await page.getByLabel('Note on For The Horn').inputValue()).toBe('mend it first');
    expect(await page.getByRole('button', { name: 'Make the books' }).isEnabled()).toBe(true);
  });
});

describe('the window', () => {
  it('did all this without a complaint', () => {
    expect(window.complaints).toEqual([]);
  });
});
