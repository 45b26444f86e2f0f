import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { beatsPerBar, parseMeter } from '../../shared-core/time/meter.ts';
import type { Chorus } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';

/**
 * Song forms of the trade, with the source of each beside it in tests/reference/forms.json (encyclopedia
 * and textbook pages for the common ones; the rest marked common practice, no source).
 */
interface FormRow {
  readonly id: string;
  readonly sections: readonly {
    readonly label: string;
    readonly bars: number;
    readonly starts_at_bar: number;
  }[];
  readonly total_bars: number;
}

interface DurationRow {
  readonly what: string;
  readonly bars: number;
  readonly time: string;
  readonly counted_beat: string;
  readonly beats_per_bar: number;
  readonly bpm: number;
  readonly choruses: number;
  readonly extra_bars: number;
  readonly seconds: number;
}

const { forms, durations } = JSON.parse(
  readFileSync(new URL('../reference/forms.json', import.meta.url), 'utf8'),
) as { readonly forms: readonly FormRow[]; readonly durations: readonly DurationRow[] };

function chorusOf(text: string): Chorus {
  const { tune, errors } = readTune(text);
  expect(errors).toEqual([]);
  const chorus = tune && unroll(tune);
  if (!chorus?.ok) throw new Error('it does not play');
  return chorus.value;
}

/** The form as people write it: each section once, the order in the form line. */
function textOf(form: FormRow): string {
  const lengths = new Map(form.sections.map(({ label, bars }) => [label, bars]));
  const sections = [...lengths].map(([label, bars]) => `[${label}]\n${'| C '.repeat(bars)}|`);
  return `form: ${form.sections.map(({ label }) => label).join(', ')}\n${sections.join('\n')}`;
}

describe('song forms of the trade', () => {
  it.each(forms.map((form) => [form.id, form] as const))(
    '%s has its sections where they belong',
    (_id, form) => {
      const lengthOf = new Map<string, number>();
      // A form may name sections of one letter with two lengths; each must then be written out.
      const consistent = form.sections.every(({ label, bars }) => {
        const known = lengthOf.get(label) ?? bars;
        lengthOf.set(label, bars);
        return known === bars;
      });
      expect(consistent).toBe(true);
      const { bars } = chorusOf(textOf(form));
      expect(bars).toHaveLength(form.total_bars);
      const starts = bars.filter(({ startsSection }) => startsSection);
      expect(starts.map(({ label, number }) => `${label} at ${number}`)).toEqual(
        form.sections.map(({ label, starts_at_bar }) => `${label} at ${starts_at_bar}`),
      );
    },
  );
});

describe('worked durations', () => {
  it.each(durations.map((row) => [row.what, row] as const))('%s', (_what, row) => {
    const meter = parseMeter(row.time);
    if (!meter) throw new Error(`no meter ${row.time}`);
    const { bars, length } = chorusOf(`meter: ${row.time}\n${'| C '.repeat(row.bars)}|`);
    // Where the trade counts halves in 4/4 the figure is theirs; ours counts the meter's own beats.
    const scale = row.beats_per_bar / beatsPerBar(meter);
    const beats = (length / (bars[0]?.length ?? 1)) * beatsPerBar(meter);
    const all = beats * row.choruses + row.extra_bars * beatsPerBar(meter);
    expect((all * scale * 60) / row.bpm).toBeCloseTo(row.seconds, 2);
  });
});
