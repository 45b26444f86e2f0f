/**
 * Sets the switches inside Electron's program that decide what a packed program may be made to do.
 * electron-builder calls the default export after packing, before signing.
 *
 * CHANGEWRIGHT_TEST_BUILD=1 leaves the inspector on: the tests that drive the packed window need it.
 */
import path from 'node:path';
import process from 'node:process';
import {
  FuseState,
  FuseV1Options,
  FuseVersion,
  flipFuses,
  getCurrentFuseWire,
} from '@electron/fuses';

/**
 * What every switch is set to. All are named, so that one a newer Electron adds fails the packing
 * until somebody has decided about it.
 * @param {string} platform `darwin`, `win32` or `linux`
 * @param {boolean} testBuild
 * @returns {Record<FuseV1Options, boolean>}
 */
export function fusesFor(platform, testBuild) {
  return {
    [FuseV1Options.RunAsNode]: false,
    [FuseV1Options.EnableCookieEncryption]: false,
    [FuseV1Options.EnableNodeOptionsEnvironmentVariable]: false,
    [FuseV1Options.EnableNodeCliInspectArguments]: testBuild,
    // Electron checks the archive's hash on macOS and Windows only.
    [FuseV1Options.EnableEmbeddedAsarIntegrityValidation]: platform !== 'linux',
    [FuseV1Options.OnlyLoadAppFromAsar]: true,
    [FuseV1Options.LoadBrowserProcessSpecificV8Snapshot]: false,
    [FuseV1Options.GrantFileProtocolExtraPrivileges]: false,
    [FuseV1Options.WasmTrapHandlers]: true,
  };
}

/**
 * Sets the switches and reads them back.
 * @param {string} program Electron's program, or the .app folder on macOS
 * @param {string} platform
 * @param {boolean} testBuild
 * @returns {Promise<void>}
 * @throws {Error} when one does not read back as set
 */
export async function setFuses(program, platform, testBuild) {
  const wanted = fusesFor(platform, testBuild);
  await flipFuses(program, {
    version: FuseVersion.V1,
    resetAdHocDarwinSignature: platform === 'darwin',
    strictlyRequireAllFuses: true,
    ...wanted,
  });
  const found = await getCurrentFuseWire(program);
  for (const [fuse, on] of Object.entries(wanted)) {
    const option = /** @type {FuseV1Options} */ (Number(fuse));
    if (found[option] !== (on ? FuseState.ENABLE : FuseState.DISABLE)) {
      throw new Error(`${FuseV1Options[option]} is not ${on ? 'on' : 'off'} in ${program}`);
    }
  }
}

/**
 * @typedef {object} Packed what electron-builder tells
 * @property {string} appOutDir
 * @property {string} electronPlatformName
 * @property {{appInfo: {productFilename: string}, executableName?: string}} packager
 */

/** @param {Packed} packed @returns {string} */
export function programOf({ appOutDir, electronPlatformName, packager }) {
  const name = packager.appInfo.productFilename;
  if (electronPlatformName === 'darwin') return path.join(appOutDir, `${name}.app`);
  if (electronPlatformName === 'win32') return path.join(appOutDir, `${name}.exe`);
  return path.join(appOutDir, packager.executableName ?? name);
}

/** @param {Packed} packed @returns {Promise<void>} */
export default async function afterPack(packed) {
  const testBuild = process.env.CHANGEWRIGHT_TEST_BUILD === '1';
  await setFuses(programOf(packed), packed.electronPlatformName, testBuild);
}
