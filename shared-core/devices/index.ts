import type { DeviceName } from '../analysis/model.ts';
import { backdoor } from './backdoor.ts';
import { bluesFour } from './blues-four.ts';
import { earlyArrival } from './early-arrival.ts';
import { leadInDominant } from './lead-in-dominant.ts';
import { minorFour } from './minor-four.ts';
import type { Device } from './model.ts';
import { sideStep } from './side-step.ts';

/** Every harmonic device the program knows, in the order of the contract. Adding one is a file and a line here. */
export const DEVICES: readonly Device[] = [
  minorFour,
  sideStep,
  bluesFour,
  backdoor,
  earlyArrival,
  leadInDominant,
];

const byName = new Map<DeviceName, Device>(DEVICES.map((device) => [device.name, device]));

/** The device of a name. Throws for a name that has no device. */
export function deviceByName(name: DeviceName): Device {
  const device = byName.get(name);
  if (device === undefined) throw new Error(`There is no device ${name}`);
  return device;
}
