import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingHttpHeaders } from 'node:http';

/** Name of the header that carries the token of the run. */
export const TOKEN_HEADER = 'x-changewright-token';

/** Where a window trades the code of its address for the token. */
export const ADMISSION_PATH = '/admission';

/** Said to a window whose token or code is not, or no longer, good. */
export const NOT_LET_IN =
  'This window is not let in: its address was used before, or the program has been started again since. Open the newest address the program printed.';

/** Most bytes a request may carry: a few scores at the contract's limit for one. */
export const BODY_LIMIT = 64 * 1024 * 1024;

/** What a request says about itself before its body is read. */
export interface RequestHead {
  readonly method: string;
  readonly path: string;
  readonly headers: IncomingHttpHeaders;
}

/** What this run of the host lets in. */
export interface Door {
  /** `127.0.0.1:PORT`. */
  readonly host: string;
  readonly token: string;
}

/** Why a request was turned away: the status, and words for whoever looks at it. */
export interface Refusal {
  readonly status: 403 | 404 | 405 | 411 | 413 | 415;
  readonly message: string;
}

/**
 * Turns away everything that is not this run's own window, before anything is looked up. A page on another
 * site can make a browser send requests to 127.0.0.1; it cannot set these headers, and a name that was
 * pointed at 127.0.0.1 shows in the Host header.
 * Sources: Fetch standard, forbidden header names; W3C Fetch Metadata; DNS rebinding is described in
 * RFC 9110, section 7.2 (Host).
 */
export function refusalOf(head: RequestHead, door: Door): Refusal | null {
  if (head.headers.host !== door.host) return refused(403, 'This host is not known here.');
  const site = head.headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin' && site !== 'none') {
    return refused(403, 'Requests from other pages are not answered.');
  }
  if (head.path === ADMISSION_PATH) return postRefusal(head, door);
  if (head.path.startsWith('/contract/')) return contractRefusal(head, door);
  const reads = head.method === 'GET' || head.method === 'HEAD';
  return reads ? null : refused(405, 'Files of the window can only be read.');
}

function contractRefusal(head: RequestHead, door: Door): Refusal | null {
  const refusal = postRefusal(head, door);
  if (refusal) return refusal;
  if (sameText(head.headers[TOKEN_HEADER], door.token)) return null;
  return refused(403, NOT_LET_IN);
}

/** What our own window sends comes by POST, from our own page, in JSON of a known length. */
function postRefusal({ method, headers }: RequestHead, door: Door): Refusal | null {
  if (method !== 'POST') return refused(405, 'The contract is asked by POST.');
  if (headers.origin !== `http://${door.host}`) {
    return refused(403, 'Requests from other pages are not answered.');
  }
  if (!/^application\/json(?:;\s*charset=utf-8)?$/iu.test(headers['content-type'] ?? '')) {
    return refused(415, 'The contract is asked in JSON.');
  }
  const length = headers['content-length'];
  if (length === undefined) return refused(411, 'The length of the request is missing.');
  return Number(length) <= BODY_LIMIT ? null : tooLarge();
}

/** A request longer than {@link BODY_LIMIT}. */
export function tooLarge(): Refusal {
  return refused(
    413,
    `A request may carry ${BODY_LIMIT / 1024 / 1024} MB; import fewer files at once.`,
  );
}

/** Compares two texts in a time that does not depend on where they differ. */
function sameText(given: string | string[] | undefined, right: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(typeof given === 'string' ? given : ''), digest(right));
}

function refused(status: Refusal['status'], message: string): Refusal {
  return { status, message };
}
