import type { Change } from '../../shared-core/devices/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import type { Chorus } from '../../shared-core/tune/model.ts';
import { spokenChanges } from '../chorus-ladder/labels.ts';
import { barAt } from '../chorus-ladder/ruler.ts';
import { ChordSymbol } from '../common/ChordSymbol.tsx';

/** Changes on one line with the bar lines between them, as one would jot them down. */
export function ChangesLine({
  changes,
  chorus,
  start,
  size = 19,
}: {
  readonly changes: readonly Change[];
  readonly chorus: Chorus;
  /** Chorus tick at which the changes begin. */
  readonly start: Ticks;
  readonly size?: number;
}) {
  const bars = changes.map((change) => barAt(chorus, (start + change.at) % chorus.length)?.index);
  return (
    <span className="changes-line" role="img" aria-label={spokenChanges(changes)}>
      {changes.map((change, index) => (
        <span
          key={change.at}
          className={
            index > 0 && bars[index] !== bars[index - 1] ? 'changes-one changes-bar' : 'changes-one'
          }
        >
          <ChordSymbol harmony={change.harmony} size={size} />
        </span>
      ))}
    </span>
  );
}
