import type { Realisation } from '../arrangement/model.ts';
import { symbolOf } from '../chord/format.ts';
import type { Ticks } from '../time/meter.ts';
import type { Chorus, TimedHarmony } from '../tune/model.ts';

/**
 * The arrangement with its held chords said again wherever the tune says them: `C | C | F` rewritten in its
 * third bar only is still `C | C`, not one long C. What sounds stays the same, and bars that nobody has
 * changed look the same in every chorus.
 */
export function asWritten(realisation: Realisation, { harmony }: Chorus): Realisation {
  const said = new Map<Ticks, string>(
    harmony.map((event) => [event.start, symbolOf(event.harmony)]),
  );
  const split = (line: readonly TimedHarmony[]): TimedHarmony[] =>
    line.flatMap((event) => saidAgain(event, said, harmony, realisation.chorusLength));
  return { ...realisation, band: split(realisation.band), solo: split(realisation.solo) };
}

function saidAgain(
  event: TimedHarmony,
  said: ReadonlyMap<Ticks, string>,
  chorus: readonly TimedHarmony[],
  chorusLength: Ticks,
): readonly TimedHarmony[] {
  const symbol = symbolOf(event.harmony);
  const end = event.start + event.length;
  const starts = [event.start];
  for (
    let from = Math.floor(event.start / chorusLength) * chorusLength;
    from < end;
    from += chorusLength
  )
    for (const { start } of chorus) {
      const at = from + start;
      if (at > event.start && at < end && said.get(start) === symbol) starts.push(at);
    }
  return starts.map((start, index) => ({
    ...event,
    start,
    length: (starts[index + 1] ?? end) - start,
  }));
}
