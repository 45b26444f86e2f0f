import { useState } from 'react';
import type { ExportFormat } from '../../shared-core/contract/index.ts';
import { useBand } from '../band/band-store.ts';
import { Dialog } from '../common/dialog.tsx';
import { ChartOptionsFields } from './ChartOptionsFields.tsx';
import { useChartOptions } from './chart-options.ts';
import { ExportProgressView } from './ExportProgressView.tsx';
import { useExport } from './use-export.ts';

const FORMATS: readonly (readonly [ExportFormat, string])[] = [
  ['pdf', 'Charts to print (PDF)'],
  ['musicxml', 'Charts for notation programs (MusicXML)'],
  ['midi', 'Play-along (MIDI)'],
];

/** Asks what to hand out, makes it, and hands it over. */
export function ExportDialog({
  arrangement,
  name,
  onClose,
}: {
  /** Id of the arrangement. */
  readonly arrangement: string;
  /** What it is called, where that is known. */
  readonly name: string | null;
  readonly onClose: () => void;
}) {
  const band = useBand((store) => store.band);
  const options = useChartOptions();
  const exporting = useExport();
  const chairs = [...(band?.chairs ?? [])].sort((a, b) => a.order - b.order);
  const [concert, setConcert] = useState(false);
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [formats, setFormats] = useState<ReadonlySet<ExportFormat>>(
    new Set<ExportFormat>(['pdf', 'musicxml', 'midi']),
  );
  const chosen = chairs.filter((chair) => !left.has(chair.id)).map((chair) => chair.id);
  const start = () =>
    void exporting.start((client) =>
      client.call('exports.start', {
        arrangementId: arrangement,
        chairs: left.size === 0 ? 'all' : chosen,
        formats: [...formats],
        options: concert ? { ...options, concert } : options,
      }),
    );
  const close = () => {
    if (exporting.running) exporting.cancel();
    onClose();
  };
  const begun = exporting.running || exporting.progress !== null;
  return (
    <Dialog title={name === null ? 'Export' : `Export ${name}`} onClose={close}>
      {!begun && (
        <div className="stack">
          <fieldset className="field">
            <legend className="field-label">For whom</legend>
            <div className="export-chairs">
              {chairs.map((chair) => (
                <label key={chair.id} className="check">
                  <input
                    type="checkbox"
                    checked={!left.has(chair.id)}
                    onChange={() => setLeft(toggled(left, chair.id))}
                  />
                  {chair.name}
                </label>
              ))}
            </div>
          </fieldset>
          <fieldset className="field">
            <legend className="field-label">What</legend>
            {FORMATS.map(([format, words]) => (
              <label key={format} className="check">
                <input
                  type="checkbox"
                  checked={formats.has(format)}
                  onChange={() => setFormats(toggled(formats, format))}
                />
                {words}
              </label>
            ))}
            <label className="check">
              <input
                type="checkbox"
                checked={concert}
                onChange={(event) => setConcert(event.target.checked)}
              />
              All charts at concert pitch
            </label>
          </fieldset>
          <details>
            <summary>How charts are set</summary>
            <ChartOptionsFields />
          </details>
        </div>
      )}
      <ExportProgressView exporting={exporting} />
      {!begun && (
        <div className="dialog-foot">
          <button type="button" onClick={close}>
            Leave it
          </button>
          <button
            type="button"
            className="button-main"
            disabled={chosen.length === 0 || formats.size === 0}
            onClick={start}
          >
            Make them
          </button>
        </div>
      )}
    </Dialog>
  );
}

function toggled<T>(set: ReadonlySet<T>, item: T): ReadonlySet<T> {
  const next = new Set(set);
  if (!next.delete(item)) next.add(item);
  return next;
}
