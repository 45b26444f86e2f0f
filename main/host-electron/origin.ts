/** Scheme of the window's pages: never `file:`, which would give a page the whole disk. */
export const SCHEME = 'app';

/** Host part of every address of ours. */
export const HOST = 'changewright';

/** Address of the window. */
export const HOME = `${SCHEME}://${HOST}/`;

/**
 * Whether an address is ours. Compares parsed parts: Node calls the origin of every scheme of one's own
 * `null`, and a text comparison is fooled by `app://changewright.evil`.
 */
export function isOurs(address: string): boolean {
  if (!URL.canParse(address)) return false;
  const { protocol, host, username } = new URL(address);
  return protocol === `${SCHEME}:` && host === HOST && username === '';
}
