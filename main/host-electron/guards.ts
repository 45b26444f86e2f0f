import type { Session, WebContents } from 'electron';
import { isOurs } from './origin.ts';

/**
 * Shuts a session: no permission is given or held (the default gives them), no device, and no request
 * leaves for anywhere but our own scheme and what the page itself made.
 * Source: Electron documentation, tutorial/security, items 1 and 5.
 */
export function guardSession(session: Session): void {
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
  session.webRequest.onBeforeRequest((details, answer) =>
    answer({ cancel: !mayLoad(details.url) }),
  );
}

/** Ours, a blob the page made of its own bytes, or the developer tools. */
function mayLoad(address: string): boolean {
  if (address.startsWith('devtools://')) return true;
  const inner = address.startsWith('blob:') ? address.slice('blob:'.length) : address;
  return isOurs(inner);
}

/** Keeps a window on its page: it goes nowhere, opens nothing and embeds nothing. */
export function guardContents(contents: WebContents): void {
  contents.on('will-navigate', (event) => event.preventDefault());
  contents.on('will-redirect', (event) => event.preventDefault());
  contents.on('will-attach-webview', (event) => event.preventDefault());
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
}

/** Lets timers run on in the background only while sound is heard, so that a rehearsal does not stumble. */
export function throttleInSilence(contents: WebContents): void {
  contents.on('audio-state-changed', ({ audible }) => contents.setBackgroundThrottling(!audible));
}
