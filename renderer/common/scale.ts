import { useSyncExternalStore } from 'react';

/** Type size of the page against the usual 16 px: larger on larger screens, see base.css. */
export function scaleNow(): number {
  return Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
}

function subscribe(listener: () => void): () => void {
  addEventListener('resize', listener);
  return () => removeEventListener('resize', listener);
}

/** How much larger than usual everything is set; changes with the window. */
export function useScale(): number {
  return useSyncExternalStore(subscribe, scaleNow);
}
