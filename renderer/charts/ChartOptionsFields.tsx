import type { LineDegree } from '../../shared-core/line/model.ts';
import { type Settings, useSettings } from '../app/settings.ts';

const LAYOUTS: readonly (readonly [Settings['layout'], string])[] = [
  ['auto', 'As short as reads well'],
  ['compact', 'Folded: like choruses once'],
  ['written-out', 'Every chorus written out'],
];

const SOLO_LINES: readonly (readonly [LineDegree | null, string])[] = [
  [null, 'Guide tones'],
  ['plain', 'A plain line, written out'],
  ['medium', 'A line, written out'],
  ['busy', 'A busy line, written out'],
];

/** How charts are set; kept for the next time. */
export function ChartOptionsFields() {
  const { layout, largePrint, voicings, walkingLine, soloLine, soloLineSeed, paper, set } =
    useSettings();
  return (
    <div className="stack">
      <div className="field">
        <label htmlFor="chart-layout">Choruses</label>
        <select
          id="chart-layout"
          value={layout}
          onChange={(event) => set({ layout: event.target.value as Settings['layout'] })}
        >
          {LAYOUTS.map(([value, words]) => (
            <option key={value} value={value}>
              {words}
            </option>
          ))}
        </select>
      </div>
      <div className="field">
        <label htmlFor="chart-paper">Paper</label>
        <select
          id="chart-paper"
          value={paper}
          onChange={(event) => set({ paper: event.target.value as Settings['paper'] })}
        >
          <option value="a4">A4</option>
          <option value="letter">Letter</option>
        </select>
      </div>
      <div className="field">
        <label htmlFor="chart-solo">In the soloists’ own choruses</label>
        <div className="chart-solo">
          <select
            id="chart-solo"
            value={soloLine ?? ''}
            onChange={(event) =>
              set({
                soloLine: event.target.value === '' ? null : (event.target.value as LineDegree),
              })
            }
          >
            {SOLO_LINES.map(([degree, words]) => (
              <option key={words} value={degree ?? ''}>
                {words}
              </option>
            ))}
          </select>
          {soloLine !== null && (
            <button
              type="button"
              className="button-ruled"
              onClick={() => set({ soloLineSeed: soloLineSeed + 1 })}
            >
              Others
            </button>
          )}
        </div>
      </div>
      <div>
        <Check
          words="Large print"
          checked={largePrint}
          onChange={(value) => set({ largePrint: value })}
        />
        <Check
          words="Shapes for the guitar, voicings for the piano"
          checked={voicings}
          onChange={(value) => set({ voicings: value })}
        />
        <Check
          words="The bass line written out, in the tune’s feel"
          checked={walkingLine}
          onChange={(value) => set({ walkingLine: value })}
        />
      </div>
    </div>
  );
}

function Check({
  words,
  checked,
  onChange,
}: {
  readonly words: string;
  readonly checked: boolean;
  readonly onChange: (checked: boolean) => void;
}) {
  return (
    <label className="check check-line">
      <input
        type="checkbox"
        checked={checked}
        onChange={(event) => onChange(event.target.checked)}
      />
      {words}
    </label>
  );
}
