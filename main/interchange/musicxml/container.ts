import { Unzip, UnzipInflate } from 'fflate';
import { decodeText } from '../decode.ts';
import { Refusal } from '../errors.ts';
import { holdLimit, LIMITS } from '../limits.ts';
import { child, childrenOf, parseXml } from './tree.ts';

const CONTAINER = 'META-INF/container.xml';

/**
 * The score inside a compressed MusicXML file: the first rootfile that `META-INF/container.xml` names.
 * Inflated bytes are counted as they come, because the sizes an archive declares may lie; everything
 * stays in memory and no other entry is opened.
 */
export function scoreInContainer(bytes: Uint8Array): Uint8Array {
  const container = entryOf(bytes, CONTAINER);
  if (!container) {
    throw new Refusal(
      'import/zip',
      'it is an archive, but not a MusicXML one: META-INF/container.xml is missing. Choose the score itself.',
    );
  }
  const root = parseXml(decodeText(container).text);
  const path = childrenOf(child(root, 'rootfiles'), 'rootfile')[0]?.attributes['full-path'] ?? '';
  if (!isPlainPath(path)) {
    throw new Refusal('import/zip', 'its container names no score inside the archive.');
  }
  const score = entryOf(bytes, path);
  if (!score)
    throw new Refusal('import/zip', `the score "${path}" named by its container is missing.`);
  if (score[0] === 0x50 && score[1] === 0x4b) {
    throw new Refusal('import/zip', 'the score inside it is another archive.');
  }
  return score;
}

/** A path inside the archive: not absolute, no drive, no step upwards, no backslash. */
function isPlainPath(path: string): boolean {
  return path !== '' && !/^[/~]|^[A-Za-z]:|\\|\0/u.test(path) && !path.split('/').includes('..');
}

/** The bytes of one entry; null where the archive has none of that name. */
function entryOf(bytes: Uint8Array, name: string): Uint8Array | null {
  const chunks: Uint8Array[] = [];
  let size = 0;
  let entries = 0;
  let found = false;
  let done = false;
  const unzip = new Unzip((file) => {
    entries++;
    holdLimit(entries, LIMITS.zipEntries, 'files in the archive');
    if (file.name !== name || found) return;
    found = true;
    file.ondata = (error, chunk, final) => {
      // What is thrown below comes back here once more as the error.
      if (error) throw (error as Error) instanceof Refusal ? error : broken();
      size += chunk.length;
      if (size > LIMITS.textBytes || size > Math.max(bytes.length, 1024) * LIMITS.zipRatio) {
        throw new Refusal('import/limit', 'its score unpacks to far more than a score needs.');
      }
      chunks.push(chunk);
      done = final;
    };
    file.start();
  });
  unzip.register(UnzipInflate);
  push(unzip, bytes);
  if (!found) return null;
  if (!done) throw broken();
  return joined(chunks, size);
}

/** In small steps, so that a bomb is noticed before it has gone off. */
function push(unzip: Unzip, bytes: Uint8Array): void {
  const step = 4096;
  try {
    for (let from = 0; from < bytes.length; from += step) {
      unzip.push(bytes.subarray(from, from + step), from + step >= bytes.length);
    }
  } catch (error) {
    throw error instanceof Refusal ? error : broken();
  }
}

function broken(): Refusal {
  return new Refusal('import/zip', 'the archive is damaged. Get the file again.');
}

function joined(chunks: readonly Uint8Array[], size: number): Uint8Array {
  const whole = new Uint8Array(size);
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}
