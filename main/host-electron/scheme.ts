import { readFile } from 'node:fs/promises';
import type { CustomScheme } from 'electron';
import { WINDOW_HEADERS, windowFile } from '../app/window-files.ts';
import { isOurs, SCHEME } from './origin.ts';

/**
 * What our scheme may do. `standard` and `secure` give pages an origin and the policies that hang on it,
 * `supportFetchAPI` lets them fetch from it, `stream` lets audio elements read from it.
 * Source: Electron documentation, api/protocol and api/structures/custom-scheme.
 */
export const OUR_SCHEME: CustomScheme = {
  scheme: SCHEME,
  privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true },
};

/**
 * Answers the window's requests with the files of the built window and the sampled instruments.
 *
 * @param root folder that holds them; the program's own when left out
 */
export async function answerWindow(request: Request, root?: string): Promise<Response> {
  if (!isOurs(request.url)) return plain(403, 'This address is not part of the window.');
  if (request.method !== 'GET') return plain(405, 'Files of the window can only be read.');
  const found = windowFile(new URL(request.url).pathname, root);
  const bytes = found ? await readIfThere(found.file) : null;
  if (!found || !bytes) return plain(404, 'There is no such file.');
  return new Response(bytes, { headers: { ...WINDOW_HEADERS, 'content-type': found.type } });
}

function plain(status: number, words: string): Response {
  return new Response(words, {
    status,
    headers: { ...WINDOW_HEADERS, 'content-type': 'text/plain; charset=utf-8' },
  });
}

/** The bytes of a file; null when there is none. */
async function readIfThere(file: string): Promise<Uint8Array<ArrayBuffer> | null> {
  try {
    return Uint8Array.from(await readFile(file));
  } catch (thrown) {
    const code = thrown instanceof Error && 'code' in thrown ? thrown.code : null;
    if (code === 'ENOENT' || code === 'EISDIR' || code === 'ENOTDIR') return null;
    throw thrown;
  }
}
