import type { Analysis } from '../../shared-core/analysis/model.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import { tuneMessage } from '../../shared-core/tune/messages.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';

/** A tune read and understood. */
export interface OpenTune {
  readonly tune: Tune;
  readonly analysis: Analysis;
}

/** Either the tune, or the sentence that says why it cannot be shown. */
export type OpenedTune =
  | { readonly ok: true; readonly value: OpenTune }
  | { readonly ok: false; readonly message: string };

/** Reads tune text and understands it. Fails with the first mistake where there is one. */
export function openTune(text: string): OpenedTune {
  const reading = readTune(text);
  const first = reading.errors[0];
  if (first) return { ok: false, message: tuneMessage(first) };
  if (!reading.tune) return { ok: false, message: 'There is nothing in this tune yet.' };
  const analysis = understand(reading.tune);
  return analysis.ok
    ? { ok: true, value: { tune: reading.tune, analysis: analysis.value } }
    : { ok: false, message: tuneMessage(analysis.error) };
}
