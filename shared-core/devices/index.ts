import type { DeviceName } from '../analysis/model.ts';
import { backdoor } from './backdoor.ts';
import { bluesFour } from './blues-four.ts';
import { commonToneDiminished } from './common-tone-diminished.ts';
import { dominantChain } from './dominant-chain.ts';
import { earlyArrival } from './early-arrival.ts';
import { leadInDominant } from './lead-in-dominant.ts';
import { lineCliche } from './line-cliche.ts';
import { majorThirdsCycle } from './major-thirds-cycle.ts';
import { minorFour } from './minor-four.ts';
import { modalInterchange } from './modal-interchange.ts';
import type { Device } from './model.ts';
import { parallelMotion } from './parallel-motion.ts';
import { passingDiminished } from './passing-diminished.ts';
import { pedalPoint } from './pedal-point.ts';
import { relatedTwoFive } from './related-two-five.ts';
import { sideStep } from './side-step.ts';
import { suspendedPreparation } from './suspended-preparation.ts';
import { tritoneSubstitute } from './tritone-substitute.ts';
import { turnaround } from './turnaround.ts';
import { twoFiveSplit } from './two-five-split.ts';

/** Every harmonic device the program knows, in the order of the contract. Adding one is a file and a line here. */
export const DEVICES: readonly Device[] = [
  minorFour,
  sideStep,
  bluesFour,
  backdoor,
  earlyArrival,
  leadInDominant,
  relatedTwoFive,
  tritoneSubstitute,
  passingDiminished,
  commonToneDiminished,
  dominantChain,
  lineCliche,
  pedalPoint,
  majorThirdsCycle,
  parallelMotion,
  modalInterchange,
  turnaround,
  suspendedPreparation,
  twoFiveSplit,
];

const byName = new Map<DeviceName, Device>(DEVICES.map((device) => [device.name, device]));

/** The device of a name. Throws for a name that has no device. */
export function deviceByName(name: DeviceName): Device {
  const device = byName.get(name);
  if (device === undefined) throw new Error(`There is no device ${name}`);
  return device;
}
