import { type KeyboardEvent, useEffect, useMemo, useState } from 'react';
import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import { routeHash } from '../app/route.ts';
import { useBand } from '../band/band-store.ts';
import { ChairSetupFields, hasSetup } from '../band/ChairSetup.tsx';
import { useBandDraft } from '../band/use-band-draft.ts';
import { useLadder } from '../chorus-ladder/ladder-store.ts';
import { Dialog } from '../common/dialog.tsx';
import { KeepingError } from '../common/KeptState.tsx';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { useClient } from '../common/shell-context.ts';
import { useAnswer } from '../common/use-answer.ts';
import { ChartOptionsFields } from './ChartOptionsFields.tsx';
import { useChartOptions } from './chart-options.ts';
import { ExportDialog } from './ExportDialog.tsx';

/** The charts as they will lie on the stands, chair by chair, page by page. */
export function ChartsScreen({ id }: { readonly id: string }) {
  const client = useClient();
  const { band, error, load } = useBand();
  const [chairId, setChairId] = useState<string | null>(null);
  const [open, setOpen] = useState<'how' | 'export' | null>(null);
  const view = useStandView();
  const name = useLadder(({ arrangement }) =>
    arrangement?.id === id ? arrangement.held.state.head.name : null,
  );
  useEffect(() => void load(client), [client, load]);
  if (error)
    return (
      <Framed>
        <ErrorNotice error={error} onAgain={() => void load(client)} />
      </Framed>
    );
  if (!band)
    return (
      <Framed>
        <Waiting what="Calling the band" />
      </Framed>
    );
  const chairs = [...band.chairs].sort((a, b) => a.order - b.order);
  const chair = chairs.find((one) => one.id === chairId) ?? chairs[0];
  if (!chair) {
    return (
      <Framed>
        <Nothing>
          <p>The band has no chairs yet, so there is nobody to hand a chart to.</p>
          <a className="button button-main" href={routeHash({ screen: 'band' })}>
            Set up the band
          </a>
        </Nothing>
      </Framed>
    );
  }
  return (
    <div className="charts">
      <header className="charts-head">
        <a className="button" href={routeHash({ screen: 'ladder', arrangement: id })}>
          Back to the ladder
        </a>
        <fieldset className="charts-chairs" aria-label="Chair">
          {chairs.map((one) => (
            <button
              key={one.id}
              type="button"
              aria-pressed={one === chair}
              onClick={() => setChairId(one.id)}
            >
              {one.name}
            </button>
          ))}
        </fieldset>
        <div className="charts-tools">
          <button type="button" onClick={() => setOpen('how')}>
            How charts are set
          </button>
          <button type="button" onClick={() => setOpen('export')}>
            Export
          </button>
        </div>
        {open === 'export' && (
          <ExportDialog arrangement={id} name={name} onClose={() => setOpen(null)} />
        )}
        {open === 'how' && (
          <Dialog title="How charts are set" onClose={() => setOpen(null)}>
            <ChartOptionsFields />
            {hasSetup(chair) && <ChairOnChart band={band} chair={chair} />}
          </Dialog>
        )}
      </header>
      {/* A chair that is strung or voiced otherwise has another chart. */}
      <Chart key={JSON.stringify(chair)} arrangement={id} chair={chair} view={view} />
    </div>
  );
}

/** How the chair on the stand is strung and voiced; kept with the band, and seen on the chart at once. */
function ChairOnChart({ band, chair }: { readonly band: Band; readonly chair: Chair }) {
  const draft = useBandDraft(band);
  const own = draft.value.band.chairs.find(({ id }) => id === chair.id) ?? chair;
  return (
    <section className="chair-on-chart" aria-label={`How ${chair.name} plays`}>
      <h3>{chair.name}</h3>
      <ChairSetupFields {...draft.setupOf(own)} />
      <KeepingError keeping={draft.keeping} />
    </section>
  );
}

function Framed({ children }: { readonly children: React.ReactNode }) {
  return (
    <div className="page">
      <div className="page-inner">{children}</div>
    </div>
  );
}

/** How pages lie on the stand: the same for every chair that is looked at. */
interface StandView {
  /** One page as wide as the window has room for. */
  readonly close: boolean;
  readonly concert: boolean;
  readonly set: (change: { readonly close?: boolean; readonly concert?: boolean }) => void;
}

function useStandView(): StandView {
  const [view, setView] = useState(() => ({ close: innerHeight < 1000, concert: false }));
  return { ...view, set: (change) => setView((now) => ({ ...now, ...change })) };
}

function Chart({
  arrangement,
  chair,
  view,
}: {
  readonly arrangement: string;
  readonly chair: Chair;
  readonly view: StandView;
}) {
  const set = useChartOptions();
  const { close, concert } = view;
  const [asked, again] = useAnswer('charts.preview', {
    arrangementId: arrangement,
    chairId: chair.id,
    options: { ...set, ...(concert ? { concert } : {}) },
  });
  const [first, setFirst] = useState(0);
  const pages = asked.state === 'answered' ? asked.value.pages : NO_PAGES;
  const addresses = usePageAddresses(pages);
  const shown = close ? 1 : 2;
  const last = Math.max(0, pages.length - 1);
  const turn = (by: number) =>
    setFirst(Math.min(last - (last % shown), Math.max(0, first + by * shown)));
  const onKey = (event: KeyboardEvent) => {
    if (event.key === 'ArrowRight' || event.key === 'PageDown') turn(1);
    else if (event.key === 'ArrowLeft' || event.key === 'PageUp') turn(-1);
    else return;
    event.preventDefault();
  };
  return (
    <>
      {asked.state === 'waiting' && (
        <Framed>
          <Waiting what={`Writing out the chart for ${chair.name}`} />
        </Framed>
      )}
      {asked.state === 'failed' && (
        <Framed>
          <ErrorNotice error={asked.error} onAgain={again} />
        </Framed>
      )}
      {asked.state === 'answered' && (
        <>
          <section
            className={close ? 'stand stand-close' : 'stand'}
            // biome-ignore lint/a11y/noNoninteractiveTabindex: the stand scrolls and turns by keys
            tabIndex={0}
            onKeyDown={onKey}
            aria-label={`Chart: ${asked.value.title}`}
          >
            {addresses.slice(first, first + shown).map((address, index) => (
              <img
                key={address}
                src={address}
                alt={`Chart for ${chair.name}, page ${first + index + 1} of ${pages.length}`}
              />
            ))}
          </section>
          <footer className="charts-foot">
            {pages.length > shown && (
              <button type="button" disabled={first === 0} onClick={() => turn(-1)}>
                Turn back
              </button>
            )}
            <span className="figures" role="status">
              {pageWords(first, shown, pages.length)}
            </span>
            {pages.length > shown && (
              <button type="button" disabled={first + shown > last} onClick={() => turn(1)}>
                Turn the page
              </button>
            )}
            <label className="check small">
              <input
                type="checkbox"
                checked={close}
                onChange={(event) => {
                  view.set({ close: event.target.checked });
                  setFirst(0);
                }}
              />
              Large, one page at a time
            </label>
            <label className="check small">
              <input
                type="checkbox"
                checked={concert}
                onChange={(event) => view.set({ concert: event.target.checked })}
              />
              At concert pitch
            </label>
          </footer>
        </>
      )}
    </>
  );
}

const NO_PAGES: readonly string[] = [];

function pageWords(first: number, shown: number, all: number): string {
  const last = Math.min(all, first + shown);
  if (all === 1) return 'one page';
  return last === first + 1 ? `page ${last} of ${all}` : `pages ${first + 1} and ${last} of ${all}`;
}

/** Addresses of the pages as images: an image can neither run nor fetch anything. */
function usePageAddresses(pages: readonly string[]): readonly string[] {
  const addresses = useMemo(
    () => pages.map((svg) => URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }))),
    [pages],
  );
  useEffect(
    () => () => {
      for (const address of addresses) URL.revokeObjectURL(address);
    },
    [addresses],
  );
  return addresses;
}
