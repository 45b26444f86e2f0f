import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingHttpHeaders } from 'node:http';

/** Name of the header that carries the token of the run. */
export const TOKEN_HEADER = 'x-changewright-token';

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
  if (!head.path.startsWith('/contract/')) {
    const reads = head.method === 'GET' || head.method === 'HEAD';
    return reads ? null : refused(405, 'Files of the window can only be read.');
  }
  return contractRefusal(head, door);
}

function contractRefusal({ method, headers }: RequestHead, door: Door): Refusal | null {
  if (method !== 'POST') return refused(405, 'The contract is asked by POST.');
  if (headers.origin !== `http://${door.host}`) {
    return refused(403, 'Requests from other pages are not answered.');
  }
  if (!sameText(headers[TOKEN_HEADER], door.token)) {
    return refused(403, 'The token is not of this run; open the address printed at the start.');
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
