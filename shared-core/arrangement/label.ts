import type { DeviceName } from '../analysis/model.ts';
import { deviceByName } from '../devices/index.ts';
import { assertNever } from '../result.ts';
import type { ArrangementState, Command, Placement } from './model.ts';

/**
 * Words for the history: what the leader did and in which chorus, as they would say it.
 *
 * @param before the arrangement before the decision
 * @example labelOf({ kind: 'accept', placement }, state) // 'Keep backdoor for the soloist, chorus 2'
 */
export function labelOf(command: Command, before: ArrangementState): string {
  const chorus = chorusOf(command, before);
  const order = chorus === null ? undefined : before.choruses[chorus]?.order;
  return order === undefined ? deed(command) : `${deed(command)}, chorus ${order + 1}`;
}

/** Id of the one chorus a decision is about; null where it is about several or none. */
function chorusOf(command: Command, before: ArrangementState): string | null {
  switch (command.kind) {
    case 'accept':
    case 'edit':
      return command.placement.chorus;
    case 'reject':
      return command.rejection.chorus;
    case 'unreject':
      return before.rejections[command.rejection]?.chorus ?? null;
    case 'remove':
    case 'set-layer':
      return before.placements[command.placement]?.chorus ?? null;
    case 'set-direction':
      return command.direction.chorus;
    case 'remove-direction':
      return before.directions[command.direction]?.chorus ?? null;
    case 'set-line':
      return command.line.chorus;
    case 'remove-line':
      return before.lines[command.line]?.chorus ?? null;
    case 'remove-chorus':
    case 'move-chorus':
    case 'set-chorus':
      return command.chorus;
    case 'add-chorus':
    case 'set-head':
    case 'batch':
      return null;
    default:
      return assertNever(command);
  }
}

function deed(command: Command): string {
  switch (command.kind) {
    case 'accept':
      return `Keep ${originWords(command.placement)}`;
    case 'edit':
      return 'Write changes by hand';
    case 'reject':
      return `Lay aside ${deviceWords(command.rejection.device)}`;
    case 'unreject':
      return 'Take back what was laid aside';
    case 'remove':
      return 'Restore the written changes';
    case 'set-layer':
      return command.layer === 'band' ? 'Give it to the whole band' : 'Leave it to the soloist';
    case 'add-chorus':
      return 'Add a chorus';
    case 'remove-chorus':
      return 'Take out the chorus';
    case 'move-chorus':
      return 'Move the chorus';
    case 'set-chorus':
      return 'Set name and intensity';
    case 'set-head':
      return 'Set name, tempo and feel';
    case 'set-direction':
      return `Direct a chair: ${command.direction.words}`;
    case 'remove-direction':
      return 'Take out a direction';
    case 'set-line':
      return 'Keep a line';
    case 'remove-line':
      return 'Take out a line';
    case 'batch':
      return command.label;
    default:
      return assertNever(command);
  }
}

function originWords({ origin, layer }: Placement): string {
  const what = origin.kind === 'proposal' ? deviceWords(origin.device) : 'changes';
  return `${what} for the ${layer}`;
}

/** A device's printed name, inside a sentence. */
function deviceWords(device: DeviceName): string {
  return deviceByName(device).label.toLowerCase();
}
