import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { WireState } from '../../shared-core/contract/wire.ts';
import { loadSqlite } from './connection.ts';
import { type Library, type LibraryPorts, openLibrary } from './library.ts';
import type { TuneEntry } from './tunes.ts';

/** Ports of a test: a clock that goes on by a second a look, and no chance. */
export function testPorts(start = Date.UTC(2025, 2, 1, 19, 30)): LibraryPorts {
  let time = start;
  let seed = 1;
  return {
    now: () => {
      time += 1000;
      return time;
    },
    random: (bytes) => {
      seed += 1;
      return new Uint8Array(bytes).fill(seed % 256);
    },
  };
}

/** A folder of its own for a test, and how to remove it. */
export function testFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'changewright-test-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/** Opens a library of a test; throws when that fails. */
export async function openTestLibrary(file: string, ports = testPorts()): Promise<Library> {
  const opened = await openLibrary(file, ports);
  if (!opened.ok) throw new Error(JSON.stringify(opened.error));
  return opened.value;
}

/** A tune to keep; give what matters to the test. */
export function tuneEntry(given: Partial<TuneEntry> = {}): TuneEntry {
  return {
    text: 'title: Lantern Street\n\n[A]\n| Bbmaj7 | % |\n',
    title: 'Lantern Street',
    credit: null,
    key: 'Bb major',
    keyInferred: false,
    meter: '4/4',
    tempo: 148,
    feel: 'medium swing',
    form: 'A',
    bars: 2,
    symbols: ['Bbmaj7'],
    ...given,
  };
}

/** The state of an arrangement of so many plain choruses. */
export function wireState(name = 'Saturday', choruses = 2): WireState {
  const plans = Array.from({ length: choruses }, (_, order) => {
    const id = `c${order + 1}`;
    return [id, { id, order, label: null, intensity: 0 }] as const;
  });
  return {
    head: { name, tempo: null, feel: null },
    choruses: Object.fromEntries(plans),
    placements: {},
    rejections: {},
    directions: {},
    lines: {},
  };
}

/** Every table and index of a library as SQLite keeps them, one way to write each. */
export function schemaOf(file: string): string {
  const db = new (loadSqlite())(file, { readonly: true });
  const rows = db
    .prepare(
      "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%' ORDER BY name",
    )
    .pluck()
    .all() as string[];
  db.close();
  return `${rows.map((sql) => `${sql.replaceAll(/\s+/gu, ' ')};`).join('\n')}\n`;
}
