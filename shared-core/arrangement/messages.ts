import { assertNever } from '../result.ts';
import type { CommandError } from './model.ts';

/** One sentence that says what is wrong and what to do. */
export function commandMessage(error: CommandError): string {
  switch (error.code) {
    case 'arrangement/no-chorus':
      return 'That chorus is no longer in the arrangement; choose another one.';
    case 'arrangement/no-placement':
      return 'Those changes are no longer in the arrangement; nothing was done.';
    case 'arrangement/no-rejection':
      return 'That proposal is not laid aside; nothing was done.';
    case 'arrangement/no-direction':
      return 'That direction is no longer in the arrangement; nothing was done.';
    case 'arrangement/no-line':
      return 'That line is no longer in the arrangement; nothing was done.';
    case 'arrangement/line-notes':
      return `Note ${error.data.note} of the line sounds over another or leaves its bars; move or shorten it.`;
    case 'arrangement/duplicate-id':
      return 'A record with that id is already there; try again.';
    case 'arrangement/last-chorus':
      return 'An arrangement keeps at least one chorus; add another before taking this one out.';
    case 'arrangement/out-of-range':
      return outOfRange(error.data);
    case 'arrangement/gap':
      return 'The changes leave a hole or overlap inside their span; fill every beat of it.';
    default:
      return assertNever(error.code);
  }
}

function outOfRange(data: CommandError['data']): string {
  if ('tempo' in data) return `Tempo goes from 20 to 400, not ${data.tempo}.`;
  if ('intensity' in data)
    return `Intensity goes from 0 to 5 in whole steps, not ${data.intensity}.`;
  if ('choruses' in data) return 'An arrangement has at most 99 choruses; take one out first.';
  return `There is no place ${Number(data.to) + 1} among the choruses.`;
}
