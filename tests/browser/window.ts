import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';

/** A running loopback host over a library file of its own. */
export interface Host {
  /** The first address of the window; its code opens once. */
  readonly address: string;
  readonly process: ChildProcess;
  /** Ends it the way a person closes it. */
  close(): Promise<void>;
  /** Ends it the way a power cut does. */
  kill(): Promise<void>;
}

/** Starts the loopback host on a library file; made with the sample tunes when it is not there yet. */
export async function startHost(library: string): Promise<Host> {
  if (!existsSync(join(ROOT, 'build/renderer/index.html'))) {
    throw new Error('The window is not built; run `npm run build` before the browser tests.');
  }
  const child = spawn(
    process.execPath,
    [join(ROOT, 'main/host-loopback/main.ts'), '--library', library],
    { stdio: ['pipe', 'pipe', 'inherit'] },
  );
  const ended = once(child, 'exit');
  const address = await Promise.race([addressOf(child), ended.then(([code]) => failed(code))]);
  return {
    address,
    process: child,
    close: async () => {
      child.stdin?.end();
      await ended;
    },
    kill: async () => {
      child.kill('SIGKILL');
      await ended;
    },
  };
}

function failed(code: unknown): never {
  throw new Error(`The loopback host ended with ${String(code)} before it gave its address`);
}

async function addressOf(child: ChildProcess): Promise<string> {
  if (!child.stdout) throw new Error('The host has no output to read');
  for await (const line of createInterface({ input: child.stdout })) {
    const match = /http:\/\/127\.0\.0\.1:\d+\/\S*/u.exec(line);
    if (match) return match[0];
  }
  throw new Error('The host closed its output without giving an address');
}

/** A window in a real browser, and what it did that nobody should see. */
export interface TestWindow {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Errors and warnings of the console, faults of scripts, refusals of the content policy. */
  readonly complaints: string[];
  /** Every address asked for. */
  readonly requests: string[];
  close(): Promise<void>;
}

/** Where Chromium opens and how. */
export interface WindowOptions {
  readonly width?: number;
  readonly height?: number;
  /** 2 is the page at 200 %. */
  readonly zoom?: number;
  readonly reducedMotion?: boolean;
}

/** Opens an address in a fresh Chromium. */
export async function openWindow(
  address: string,
  options: WindowOptions = {},
): Promise<TestWindow> {
  const { width = 1280, height = 720, zoom = 1 } = options;
  const browser: Browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--autoplay-policy=no-user-gesture-required'],
  });
  const context = await browser.newContext({
    viewport: { width: Math.round(width / zoom), height: Math.round(height / zoom) },
    deviceScaleFactor: zoom,
    acceptDownloads: true,
    reducedMotion: options.reducedMotion ? 'reduce' : 'no-preference',
  });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  const complaints: string[] = [];
  const requests: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('request', (request) => requests.push(request.url()));
  await page.goto(address);
  return { page, context, complaints, requests, close: () => browser.close() };
}

/** A folder for one test's library; `remove` takes it away. */
export async function freshLibrary(): Promise<{ file: string; remove: () => Promise<void> }> {
  const folder = await mkdtemp(join(tmpdir(), 'changewright-window-'));
  return {
    file: join(folder, 'library.changes'),
    remove: () => rm(folder, { recursive: true, force: true }),
  };
}

/** Opens a tune by its title and makes an arrangement of it; ends on the ladder. */
export async function arrange(
  page: Page,
  title: string,
  name: string,
  choruses: number,
): Promise<void> {
  await page.getByRole('link', { name: 'Tunes', exact: true }).click();
  await page.locator('.tune a', { hasText: title }).click();
  await page.getByLabel('Name').fill(name);
  await page.getByLabel('Choruses').fill(String(choruses));
  await page.getByRole('button', { name: 'New arrangement' }).click();
  await page.getByRole('grid').waitFor();
}

/** Text of a tune with held bars at the top, in the middle and at the end. */
export const TUNE = `title: Cellar Steps
key: Bb major
meter: 4/4
tempo: 152
feel: medium swing
form: A A B A

[A]
| Bbmaj7 | % | % | % |
| Cm7 | F7 | Bbmaj7 | % |
[B]
| Ebmaj7 | % | Ebm7 | Ab7 |
| Cm7 | % | F7 | % |
`;

/** Writes a tune by way of the window; ends on its page. */
export async function writeTune(page: Page, text: string): Promise<void> {
  await page.getByRole('link', { name: 'Tunes', exact: true }).click();
  await page.getByRole('link', { name: 'Write a tune' }).first().click();
  await page.getByRole('textbox', { name: 'Tune text' }).fill(text);
  await page.getByRole('button', { name: 'Keep it' }).click();
  await page.getByRole('button', { name: 'New arrangement' }).waitFor();
}

/** The cell the person stands at. */
export function here(page: Page) {
  return page.locator('[role="gridcell"][aria-selected="true"]');
}

/** Waits until a cell says something. */
export async function cellSays(page: Page, row: number, words: RegExp): Promise<void> {
  await page
    .locator(`[role="gridcell"][data-row="${row}"]`)
    .and(page.getByRole('gridcell', { name: words }))
    .first()
    .waitFor();
}
