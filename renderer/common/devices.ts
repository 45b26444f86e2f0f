import type { DeviceName } from '../../shared-core/analysis/model.ts';
import { DEVICES } from '../../shared-core/devices/index.ts';
import type { DeviceDegree } from '../../shared-core/devices/model.ts';

const labels = new Map<DeviceName, string>(DEVICES.map((device) => [device.name, device.label]));

/** Trade name of a device for people: `Minor four`. */
export function deviceLabel(name: DeviceName): string {
  return labels.get(name) ?? name.replaceAll('-', ' ');
}

/** How fully a device is stated, as it follows the device's name. */
export const DEGREE_WORDS: Readonly<Record<DeviceDegree, string>> = {
  full: 'in full',
  seventh: 'whole chords',
  triad: 'triads',
  note: 'just the note',
};
