import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import type { Band } from '../../shared-core/arrangement/band.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import { band as bandSchema } from '../../shared-core/contract/schemas.ts';
import { ok } from '../../shared-core/result.ts';
import type { Library } from '../library/library.ts';
import type { TuneEntry } from '../library/tunes.ts';
import { checkBand } from './band.ts';
import { success } from './failures.ts';
import { entryOf, knowTune } from './tune-text.ts';

/** What was taken from the sample library; nothing when this library had it, or had tunes of its own. */
export interface SampleLoaded {
  readonly tunes: readonly { readonly id: string; readonly title: string }[];
}

/**
 * Puts the sample tunes and the sample band into a library that has never held anything. Once only: what
 * a person throws away does not come back.
 *
 * @param folder the sample library: `*.tune` texts and `band.json`
 */
export function loadSample(library: Library, folder: string): Answer<SampleLoaded> {
  const used = library.meta.get('sample-loaded') !== null || library.counts().tunes > 0;
  if (used) return success({ tunes: [] });
  const band = readBand(join(folder, 'band.json'));
  if (!band.ok) return band;
  const entries: TuneEntry[] = [];
  const names = readdirSync(folder).filter((name) => name.endsWith('.tune'));
  for (const name of names.sort()) {
    const known = knowTune(readFileSync(join(folder, name), 'utf8'));
    if (!known.ok) {
      return { ok: false, error: { ...known.error, place: { ...known.error.place, file: name } } };
    }
    entries.push(entryOf(known.value));
  }
  const loaded = library.transact<SampleLoaded, never>(() => {
    const tunes = entries.map((entry) => ({ id: library.tunes.insert(entry), title: entry.title }));
    library.bands.write(band.value);
    library.meta.set('sample-loaded', library.now());
    return ok({ tunes });
  });
  return loaded;
}

/** `{name, chairs: [...]}`, with or without an id. */
function readBand(file: string): Answer<Band> {
  const json: unknown = JSON.parse(readFileSync(file, 'utf8'));
  const named = z.looseObject({ id: z.string().default('band') }).parse(json);
  return checkBand(bandSchema.parse(named));
}
