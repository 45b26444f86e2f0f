import { type ReactNode, useEffect, useState } from 'react';
import { type Settings, useSettings } from '../app/settings.ts';
import { useBand } from '../band/band-store.ts';
import { Dialog } from '../common/dialog.tsx';
import { useClient } from '../common/shell-context.ts';

/** Opens the settings of this window. */
export function SettingsButton() {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button type="button" onClick={() => setOpen(true)}>
        Settings
      </button>
      {open && <SettingsDialog onClose={() => setOpen(false)} />}
    </>
  );
}

function SettingsDialog({ onClose }: { readonly onClose: () => void }) {
  const client = useClient();
  const { theme, chordStyle, chair, set } = useSettings();
  const band = useBand((store) => store.band);
  const loadBand = useBand((store) => store.load);
  useEffect(() => void loadBand(client), [client, loadBand]);
  return (
    <Dialog title="Settings" onClose={onClose}>
      <div className="stack">
        <Choice
          legend="Light"
          value={theme}
          options={[
            ['light', 'Paper'],
            ['dim', 'Dim stage'],
            ['system', 'As the machine is set'],
          ]}
          onChoose={(value: Settings['theme']) => set({ theme: value })}
        />
        <Choice
          legend="Chord symbols"
          value={chordStyle}
          options={[
            ['words', 'Words: maj7, m7, m7♭5'],
            ['signs', <Signs key="signs" />],
          ]}
          onChoose={(value: Settings['chordStyle']) => set({ chordStyle: value })}
        />
        <div className="field">
          <label htmlFor="settings-chair">Read the ladder as</label>
          <select
            id="settings-chair"
            value={chair ?? ''}
            onChange={(event) => set({ chair: event.target.value || null })}
          >
            <option value="">Concert pitch</option>
            {band?.chairs.map((one) => (
              <option key={one.id} value={one.id}>
                {one.name}
              </option>
            ))}
          </select>
        </div>
      </div>
    </Dialog>
  );
}

/** The signs themselves, as they are printed. */
function Signs() {
  return (
    <span>
      Signs: <span className="sign">{'\uE873'}</span>, −, <span className="sign">{'\uE871'}</span>
    </span>
  );
}

function Choice<T extends string>({
  legend,
  value,
  options,
  onChoose,
}: {
  readonly legend: string;
  readonly value: T;
  readonly options: readonly (readonly [T, ReactNode])[];
  readonly onChoose: (value: T) => void;
}) {
  return (
    <fieldset className="field">
      <legend className="field-label">{legend}</legend>
      <div className="choice">
        {options.map(([option, words]) => (
          <label key={option} className="check">
            <input
              type="radio"
              name={legend}
              checked={value === option}
              onChange={() => onChoose(option)}
            />
            {words}
          </label>
        ))}
      </div>
    </fieldset>
  );
}
