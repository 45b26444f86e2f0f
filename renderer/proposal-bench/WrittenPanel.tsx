import type { ChordReading } from '../../shared-core/analysis/model.ts';
import { keyName } from '../../shared-core/pitch/key.ts';
import type { OpenArrangement } from '../chorus-ladder/ladder-store.ts';
import type { Segment } from '../chorus-ladder/ruler.ts';
import { ChordSymbol } from '../common/ChordSymbol.tsx';
import { deviceLabel } from '../common/devices.ts';
import { withSigns } from '../common/words.ts';

/** The written changes of one cell, understood: key, degree, and what leads where. */
export function WrittenPanel({
  arrangement,
  segment,
}: {
  readonly arrangement: OpenArrangement;
  readonly segment: Segment | null;
}) {
  const { analysis } = arrangement.open;
  const readings = segment
    ? analysis.chords.filter(
        (chord) =>
          chord.start < segment.start + segment.length &&
          chord.start + chord.length > segment.start,
      )
    : analysis.chords;
  return (
    <section aria-label="The written changes understood">
      <table className="readings">
        <thead>
          <tr>
            <th scope="col">Bar</th>
            <th scope="col">Chord</th>
            <th scope="col">Degree</th>
            <th scope="col">What it does</th>
          </tr>
        </thead>
        <tbody>
          {readings.map((reading) => (
            <tr key={reading.index}>
              <td className="figures">
                {reading.bar}
                {reading.beat > 1 && <span className="quiet small">.{reading.beat}</span>}
              </td>
              <td>
                <ChordSymbol harmony={reading.harmony} size={18} />
              </td>
              <td>{withRomanSigns(reading.roman)}</td>
              <td className="small">{doing(reading, analysis.chords)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Accidentals of a numeral as signs: `bVII7` -> `♭VII7`. */
function withRomanSigns(roman: string): string {
  return roman.replace(/b(?=[IViv\d])/gu, '♭').replace(/#(?=[IViv\d])/gu, '♯');
}

function doing(reading: ChordReading, chords: readonly ChordReading[]): string {
  const key = withSigns(keyName(reading.localKey));
  if (reading.device) return `${deviceLabel(reading.device)}, in ${key}`;
  const target = reading.prepares === null ? null : chords[reading.prepares];
  if (target) return `leads to bar ${target.bar}, in ${key}`;
  const plain =
    reading.function === 'home' ? 'home' : reading.function === 'departure' ? 'away' : '';
  return plain ? `${plain}, in ${key}` : `in ${key}`;
}
