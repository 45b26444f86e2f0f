import { describe, expect, it } from 'vitest';
import { parseRoute, type Route, routeHash } from './route.ts';

describe('places in the window', () => {
  it.each<Route>([
    { screen: 'library' },
    { screen: 'tune', tune: 't1' },
    { screen: 'write', tune: null },
    { screen: 'write', tune: 't1' },
    { screen: 'ladder', arrangement: 'a:1_b.c' },
    { screen: 'charts', arrangement: 'a1' },
    { screen: 'set', set: 's1' },
    { screen: 'sets' },
    { screen: 'band' },
    { screen: 'taste' },
    { screen: 'about' },
  ])('have an address that leads back to them: $screen', (route) => {
    expect(parseRoute(routeHash(route))).toEqual(route);
  });

  it.each(['', '#', '#/', '#/nowhere', '#/tune', '#/ladder/'])(
    'fall back to the library for %j',
    (hash) => {
      expect(parseRoute(hash)).toEqual({ screen: 'library' });
    },
  );
});
