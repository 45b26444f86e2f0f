import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { FuseState, FuseV1Options, getCurrentFuseWire } from '@electron/fuses';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import afterPack, { programOf, setFuses } from './fuses.mjs';

// Electron's documentation, "Fuses": a sentinel in the program, then the wire's version, its length,
// and one character a fuse, '0' for off and '1' for on.
const SENTINEL = 'dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'changewright-fuses-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** A file that looks like Electron's program to whoever sets fuses, as Electron ships it. */
function shippedProgram(name: string, wire = '101100011'): string {
  const file = join(folder, name);
  const head = Buffer.concat([Buffer.from('before'), Buffer.from(SENTINEL)]);
  const body = Buffer.concat([Buffer.from([1, wire.length]), Buffer.from(wire), Buffer.alloc(64)]);
  writeFileSync(file, Buffer.concat([head, body]));
  return file;
}

async function isOn(file: string, fuse: FuseV1Options): Promise<boolean> {
  return (await getCurrentFuseWire(file))[fuse] === FuseState.ENABLE;
}

describe('a packed program', () => {
  it('cannot be run as Node, be told options, be inspected or read files as pages', async () => {
    const file = shippedProgram('changewright');
    expect(await isOn(file, FuseV1Options.RunAsNode)).toBe(true);
    await setFuses(file, 'linux', false);
    expect(await isOn(file, FuseV1Options.RunAsNode)).toBe(false);
    expect(await isOn(file, FuseV1Options.EnableNodeOptionsEnvironmentVariable)).toBe(false);
    expect(await isOn(file, FuseV1Options.EnableNodeCliInspectArguments)).toBe(false);
    expect(await isOn(file, FuseV1Options.GrantFileProtocolExtraPrivileges)).toBe(false);
  });

  it('loads nothing but its archive, and keeps what WebAssembly needs', async () => {
    const file = shippedProgram('changewright');
    await setFuses(file, 'linux', false);
    expect(await isOn(file, FuseV1Options.OnlyLoadAppFromAsar)).toBe(true);
    expect(await isOn(file, FuseV1Options.WasmTrapHandlers)).toBe(true);
  });

  it('checks its archive where Electron can, on Windows and macOS', async () => {
    const file = shippedProgram('Changewright.exe');
    await setFuses(file, 'win32', false);
    expect(await isOn(file, FuseV1Options.EnableEmbeddedAsarIntegrityValidation)).toBe(true);
  });

  it('can be inspected only as a test build', async () => {
    const file = shippedProgram('changewright');
    await setFuses(file, 'linux', true);
    expect(await isOn(file, FuseV1Options.EnableNodeCliInspectArguments)).toBe(true);
  });

  it('fails the packing when Electron has a fuse nobody decided about', async () => {
    const file = shippedProgram('changewright', '1011000111');
    await expect(setFuses(file, 'linux', false)).rejects.toThrow();
  });

  it('is found under the name each platform gives it', async () => {
    const packed = (electronPlatformName: string) => ({
      appOutDir: folder,
      electronPlatformName,
      packager: { appInfo: { productFilename: 'Changewright' }, executableName: 'changewright' },
    });
    expect(programOf(packed('linux'))).toBe(join(folder, 'changewright'));
    expect(programOf(packed('win32'))).toBe(join(folder, 'Changewright.exe'));
    expect(programOf(packed('darwin'))).toBe(join(folder, 'Changewright.app'));
    const file = shippedProgram('changewright');
    await afterPack(packed('linux'));
    expect(await isOn(file, FuseV1Options.RunAsNode)).toBe(false);
  });
});
