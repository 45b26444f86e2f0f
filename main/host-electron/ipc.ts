import type { IpcMain, IpcMainInvokeEvent } from 'electron';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { ContractHandlers } from '../../shared-core/contract/methods.ts';
import { dispatch } from '../app/dispatch.ts';
import { failure } from '../app/failures.ts';
import type { Log } from '../app/faults.ts';
import { CHANNELS, channelOf } from './channels.ts';
import { isOurs } from './origin.ts';

/** Most characters and numbers a request may carry; the same as over 127.0.0.1. */
const REQUEST_LIMIT = 64 * 1024 * 1024;

/** How deep a request may be nested; the contract's own go to a dozen. */
const DEPTH_LIMIT = 100;

/** Gives every method of the contract its channel, each behind the same checks. */
export function registerContract(
  ipcMain: Pick<IpcMain, 'handle'>,
  handlers: ContractHandlers,
  log: Log,
): void {
  for (const method of CHANNELS) {
    ipcMain.handle(channelOf(method), async (event, request: unknown): Promise<Answer<unknown>> => {
      if (!isOurWindow(event)) {
        return failure('contract/forbidden', 'Requests from other pages are not answered.');
      }
      if (sizeOf(request, REQUEST_LIMIT) > REQUEST_LIMIT) {
        return failure(
          'contract/too-large',
          'The request is too large; import fewer files at once.',
        );
      }
      return dispatch(handlers, log, method, request);
    });
  }
}

/** Whether a message comes from the top frame of a page of ours. A frame that is gone has no say. */
function isOurWindow(event: IpcMainInvokeEvent): boolean {
  const frame = event.senderFrame;
  return frame !== null && frame === event.sender.mainFrame && isOurs(frame.url);
}

/** Rough size of a request, counted no further than is needed to refuse it. */
function sizeOf(value: unknown, limit: number, depth = 0): number {
  if (depth > DEPTH_LIMIT) return limit + 1;
  if (typeof value === 'string') return value.length;
  if (ArrayBuffer.isView(value) || value instanceof ArrayBuffer) return value.byteLength;
  if (typeof value !== 'object' || value === null) return 8;
  let size = 8;
  for (const [key, item] of Object.entries(value)) {
    size += key.length + sizeOf(item, limit - size, depth + 1);
    if (size > limit) return size;
  }
  return size;
}
