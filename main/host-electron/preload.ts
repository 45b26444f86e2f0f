import { contextBridge, ipcRenderer } from 'electron';
import { CHANNELS, channelOf } from './channels.ts';

/**
 * What the window sees of the shell: one function a method of the contract, and nothing else. No channel
 * name, no event and no sender ever reaches the page.
 */
const bridge = Object.fromEntries(
  CHANNELS.map((method) => [
    method,
    (request: unknown): Promise<unknown> => ipcRenderer.invoke(channelOf(method), request),
  ]),
);

contextBridge.exposeInMainWorld('changewright', bridge);
