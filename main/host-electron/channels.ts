import type { MethodName } from '../../shared-core/contract/methods.ts';

/**
 * The methods of the contract, by name alone: the preload script is one small file and must not carry the
 * schemas with it. A test holds this list to the contract.
 */
export const CHANNELS = [
  'app.info',
  'tunes.list',
  'tunes.get',
  'tunes.save',
  'tunes.bin',
  'tunes.restore',
  'tunes.import',
  'arrangements.list',
  'arrangements.create',
  'arrangements.get',
  'arrangements.apply',
  'arrangements.undo',
  'arrangements.redo',
  'arrangements.duplicate',
  'arrangements.bin',
  'arrangements.restore',
  'band.get',
  'band.save',
  'taste.get',
  'taste.reset',
  'charts.preview',
  'exports.start',
  'exports.progress',
  'exports.cancel',
  'exports.read',
  'exports.saveAll',
  'setlists.list',
  'setlists.get',
  'setlists.save',
  'setlists.bin',
  'setlists.restore',
  'setlists.export',
  'library.check',
  'library.backup',
  'library.emptyBin',
] as const satisfies readonly MethodName[];

/** Name of the channel a method travels on. */
export function channelOf(method: MethodName): string {
  return `contract:${method}`;
}
