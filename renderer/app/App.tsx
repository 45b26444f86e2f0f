import { useEffect } from 'react';
import type { ContractClient } from '../../shared-core/contract/index.ts';
import { AboutScreen } from '../about/AboutScreen.tsx';
import { BandScreen } from '../band/BandScreen.tsx';
import { ChartsScreen } from '../charts/ChartsScreen.tsx';
import { LadderScreen } from '../chorus-ladder/LadderScreen.tsx';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { Said } from '../common/said.tsx';
import { ClientContext } from '../common/shell-context.ts';
import { LibraryScreen } from '../library/LibraryScreen.tsx';
import { TuneScreen } from '../library/TuneScreen.tsx';
import { WriteScreen } from '../library/WriteScreen.tsx';
import { SetScreen } from '../setlists/SetScreen.tsx';
import { SetsScreen } from '../setlists/SetsScreen.tsx';
import { SettingsButton } from '../settings/SettingsDialog.tsx';
import { TasteScreen } from '../taste/TasteScreen.tsx';
import { Failsafe } from './Failsafe.tsx';
import { type Route, routeHash, useRoute } from './route.ts';
import { useSettings } from './settings.ts';

/** The whole window: the masthead and the screen the address names. */
export function App({ client }: { readonly client: ContractClient }) {
  const route = useRoute();
  useTheme();
  useArrival(route);
  useAskBeforeClosing();
  return (
    <ClientContext value={client}>
      <div className="shell">
        <button type="button" className="skip-link" onClick={skipToMain}>
          To the page
        </button>
        <Masthead route={route} />
        <main id="main" tabIndex={-1}>
          <Failsafe key={routeHash(route)}>
            <Screen route={route} />
          </Failsafe>
        </main>
        <Said />
      </div>
    </ClientContext>
  );
}

function Screen({ route }: { readonly route: Route }) {
  switch (route.screen) {
    case 'library':
      return <LibraryScreen />;
    case 'tune':
      return <TuneScreen id={route.tune} />;
    case 'write':
      return <WriteScreen id={route.tune} />;
    case 'ladder':
      return <LadderScreen id={route.arrangement} />;
    case 'charts':
      return <ChartsScreen id={route.arrangement} />;
    case 'band':
      return <BandScreen />;
    case 'sets':
      return <SetsScreen />;
    case 'set':
      return <SetScreen id={route.set} />;
    case 'taste':
      return <TasteScreen />;
    case 'about':
      return <AboutScreen />;
  }
}

const PLACES: readonly {
  readonly words: string;
  readonly route: Route;
  readonly covers: readonly Route['screen'][];
}[] = [
  {
    words: 'Tunes',
    route: { screen: 'library' },
    covers: ['library', 'tune', 'write', 'ladder', 'charts'],
  },
  { words: 'Sets', route: { screen: 'sets' }, covers: ['sets', 'set'] },
  { words: 'Band', route: { screen: 'band' }, covers: ['band'] },
  { words: 'Taste', route: { screen: 'taste' }, covers: ['taste'] },
];

function Masthead({ route }: { readonly route: Route }) {
  return (
    <header className="masthead">
      <span className="masthead-name">Changewright</span>
      <nav aria-label="Places">
        {PLACES.map((place) => (
          <a
            key={place.words}
            className="button"
            href={routeHash(place.route)}
            aria-current={place.covers.includes(route.screen) ? 'page' : undefined}
          >
            {place.words}
          </a>
        ))}
      </nav>
      <div className="masthead-end">
        <SettingsButton />
        <a
          className="button"
          href={routeHash({ screen: 'about' })}
          aria-current={route.screen === 'about' ? 'page' : undefined}
        >
          About
        </a>
      </div>
    </header>
  );
}

/** Past the masthead, for who goes by keyboard. */
function skipToMain(): void {
  const focusable = document.querySelector<HTMLElement>(
    '#main [tabindex="0"], #main a, #main button, #main input',
  );
  (focusable ?? document.getElementById('main'))?.focus();
}

const TITLES: Readonly<Record<Route['screen'], string>> = {
  library: 'Tunes',
  tune: 'Tune',
  write: 'Write a tune',
  ladder: 'Ladder',
  charts: 'Charts',
  band: 'Band',
  sets: 'Sets',
  set: 'Set',
  taste: 'Taste',
  about: 'About',
};

/** Says where one arrived: in the title, and by giving the page the keyboard when its link is gone. */
function useArrival(route: Route): void {
  const place = routeHash(route);
  const { screen } = route;
  // biome-ignore lint/correctness/useExhaustiveDependencies: every new place is an arrival
  useEffect(() => {
    document.title = `${TITLES[screen]}, Changewright`;
    if (document.activeElement === document.body) document.getElementById('main')?.focus();
  }, [screen, place]);
}

/** Closing the window asks first while a decision is not kept. What is typed needs no asking: it is put by. */
function useAskBeforeClosing(): void {
  const heldUp = useLadder((store) => store.heldUp !== null);
  useEffect(() => {
    if (!heldUp) return;
    const ask = (event: BeforeUnloadEvent) => event.preventDefault();
    addEventListener('beforeunload', ask);
    return () => removeEventListener('beforeunload', ask);
  }, [heldUp]);
}

function useTheme(): void {
  const theme = useSettings((settings) => settings.theme);
  useEffect(() => {
    if (theme === 'system') delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = theme;
  }, [theme]);
}
