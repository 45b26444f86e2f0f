import type { DeviceName } from '../../shared-core/analysis/model.ts';
import { DEVICES } from '../../shared-core/devices/index.ts';

const labels = new Map<DeviceName, string>(DEVICES.map((device) => [device.name, device.label]));

/** Trade name of a device for people: `Minor four`. */
export function deviceLabel(name: DeviceName): string {
  return labels.get(name) ?? name.replaceAll('-', ' ');
}
