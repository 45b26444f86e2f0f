import process from 'node:process';
import { parseArgs } from 'node:util';
import { openApp } from '../app/app.ts';
import { backUpToday } from '../app/daily-backup.ts';
import { fromLibrary } from '../app/failures.ts';
import { defaultLibraryFile, thisMachine } from '../library/location.ts';
import { lockForHost } from '../library/lock.ts';
import { startServer } from './server.ts';

/**
 * The window without Electron: serves it on 127.0.0.1 and prints its address as one line when it is ready.
 * An address opens one window, once; when it was used the next one is printed on a line of its own.
 * Ends when its standard input closes, so that it never outlives what started it.
 *
 * Options: `--library FILE`. Ends with 2 for a wrong option, 1 when the library cannot be opened.
 */
async function main(): Promise<void> {
  const libraryFile = readArguments();
  const lock = lockForHost(libraryFile);
  if (!lock.ok) return fail(fromLibrary(lock.error).message, 1);
  const opened = await openApp({ host: 'loopback', libraryFile, sample: true, log });
  if (!opened.ok) return fail(opened.error.message, 1);
  const app = opened.value;
  const tell = (address: string) => process.stdout.write(`${address}\n`);
  const server = await startServer({ handlers: app.handlers, log, onUsed: tell });
  const backup = backUpToday(app.context.library, log);
  let ending = false;
  const end = async () => {
    if (ending) return;
    ending = true;
    await server.close();
    await backup;
    await app.close();
    lock.value.release();
    process.exit(0);
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, end);
  process.stdin.on('end', end).on('close', end).resume();
  tell(server.address);
}

function readArguments(): string {
  try {
    const { values } = parseArgs({ options: { library: { type: 'string' } } });
    return values.library ?? defaultLibraryFile(thisMachine());
  } catch (thrown) {
    const words = thrown instanceof Error ? thrown.message : String(thrown);
    return fail(`${words.split('\n')[0]}; the one option is --library FILE.`, 2);
  }
}

function log(line: string): void {
  process.stderr.write(`${line}\n`);
}

function fail(sentence: string, code: 1 | 2): never {
  log(sentence);
  process.exit(code);
}

await main();
