import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { afterAll, describe, expect, it } from 'vitest';
import type { Band } from '../../shared-core/arrangement/band.ts';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import { midiBytes } from '../../shared-core/performance/midi.ts';
import type { Performance } from '../../shared-core/performance/model.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import { signatureOf } from '../../shared-core/pitch/key.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';

// A third reader of our MIDI files, beside the two libraries of midi.test.ts: the Debian package `midicsv`
// (MIDICSV 1.1), which writes every event of a file as a line and refuses files that are not well formed.
const present = spawnSync('midicsv', ['-u'], { encoding: 'utf8' }).error === undefined;
if (!present)
  process.stderr.write('Skipped: midicsv is not installed (Debian: apt-get install midicsv).\n');

const samples = new URL('../../sample-library/', import.meta.url);
const band: Band = {
  ...JSON.parse(readFileSync(new URL('band.json', samples), 'utf8')),
};
const folder = mkdtempSync(join(tmpdir(), 'midi-csv-'));
afterAll(() => rmSync(folder, { recursive: true }));

function played(file: string): Performance {
  const { tune, errors } = readTune(readFileSync(new URL(file, samples), 'utf8'));
  if (!tune || errors.length > 0) throw new Error(`${file} was not read`);
  const chorus = unroll(tune);
  if (!chorus.ok) throw new Error(chorus.error.code);
  return perform({
    tune,
    chorus: chorus.value,
    key: tune.key ?? { tonic: 0, mode: 'major' },
    state: emptyArrangement('T', 3),
    band,
  });
}

interface Row {
  readonly track: number;
  readonly at: number;
  readonly type: string;
  readonly rest: readonly string[];
}

function readWithMidicsv(performance: Performance): Row[] {
  const path = join(folder, 'one.mid');
  writeFileSync(path, midiBytes(performance));
  const text = execFileSync('midicsv', [path], { encoding: 'utf8' });
  return text
    .trim()
    .split('\n')
    .map((line) => {
      const [track = '', at = '', type = '', ...rest] = line.split(', ');
      return { track: Number(track), at: Number(at), type, rest };
    });
}

describe.skipIf(!present)('every sample tune as MIDI, read by midicsv', () => {
  const files = readdirSync(samples).filter((file) => file.endsWith('.tune'));

  it.each(files)('gives the same notes, tempo, meters, keys and markers: %s', (file) => {
    const performance = played(file);
    const rows = readWithMidicsv(performance);
    const of = (type: string): Row[] => rows.filter((row) => row.type === type);
    performance.tracks.forEach((track, index) => {
      const mine = (type: string) => of(type).filter((row) => row.track === index + 2);
      const on = mine('Note_on_c').map(({ at, rest }) => `${at}: ${rest.join(' ')}`);
      const off = mine('Note_off_c').map(({ at, rest }) => `${at}: ${rest.slice(0, 2).join(' ')}`);
      const { channel, notes } = track;
      expect(on.sort()).toEqual(
        notes.map(({ start, midi, velocity }) => `${start}: ${channel} ${midi} ${velocity}`).sort(),
      );
      expect(off.sort()).toEqual(
        notes.map(({ start, length, midi }) => `${start + length}: ${channel} ${midi}`).sort(),
      );
      expect(mine('Title_t').map(({ rest }) => rest.join(', '))).toEqual([`"${track.name}"`]);
    });
    expect(of('Tempo').map(({ rest }) => Number(rest[0]))).toEqual([
      Math.round(60_000_000 / performance.quarterBpm),
    ]);
    expect(of('Time_signature').map(({ at, rest }) => [at, Number(rest[0])])).toEqual(
      performance.meters.map(({ at, meter }) => [at, meter.count]),
    );
    expect(of('Key_signature').map(({ rest }) => [Number(rest[0]), rest[1]])).toEqual(
      performance.keys.map(({ key }) => [
        signatureOf(key),
        `"${key.mode === 'major' ? 'major' : 'minor'}"`,
      ]),
    );
    expect(of('Marker_t').map(({ at, rest }) => [at, rest.join(', ')])).toEqual(
      performance.markers.map(({ at, text }) => [at, `"${text}"`]),
    );
  });

  it('ends every track where the performance ends', () => {
    const performance = played(files[0] ?? '');
    const ends = readWithMidicsv(performance).filter(({ type }) => type === 'End_track');
    expect(ends.map(({ at }) => at)).toEqual(
      Array.from({ length: performance.tracks.length + 1 }, () => performance.length),
    );
  });
});
