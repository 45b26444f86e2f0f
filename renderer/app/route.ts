import { useSyncExternalStore } from 'react';

/** Where the window stands. Kept in the address after `#`, so that back and forward work. */
export type Route =
  | { readonly screen: 'library' }
  | { readonly screen: 'tune'; readonly tune: string }
  | { readonly screen: 'write'; readonly tune: string | null }
  | { readonly screen: 'ladder'; readonly arrangement: string }
  | { readonly screen: 'charts'; readonly arrangement: string }
  | { readonly screen: 'band' }
  | { readonly screen: 'sets' }
  | { readonly screen: 'set'; readonly set: string }
  | { readonly screen: 'taste' }
  | { readonly screen: 'about' };

/** Reads an address; anything not understood is the library. */
export function parseRoute(hash: string): Route {
  const [first, second] = hash.replace(/^#\/?/u, '').split('/').map(decodeURIComponent);
  switch (first) {
    case 'tune':
      return second ? { screen: 'tune', tune: second } : { screen: 'library' };
    case 'write':
      return { screen: 'write', tune: second ?? null };
    case 'ladder':
    case 'charts':
      return second ? { screen: first, arrangement: second } : { screen: 'library' };
    case 'set':
      return second ? { screen: 'set', set: second } : { screen: 'sets' };
    case 'band':
    case 'sets':
    case 'taste':
    case 'about':
      return { screen: first };
    default:
      return { screen: 'library' };
  }
}

/** The address of a place in the window. */
export function routeHash(route: Route): string {
  const parts = Object.values(route).filter(
    (part: string | null): part is string => part !== null && part !== 'library',
  );
  return `#/${parts.map(encodeURIComponent).join('/')}`;
}

/** Goes somewhere. */
export function goTo(route: Route): void {
  location.hash = routeHash(route);
}

function subscribe(listener: () => void): () => void {
  addEventListener('hashchange', listener);
  return () => removeEventListener('hashchange', listener);
}

/** Where the window stands now. */
export function useRoute(): Route {
  const hash = useSyncExternalStore(subscribe, () => location.hash);
  return parseRoute(hash);
}
