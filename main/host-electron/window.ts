import type { BrowserWindowConstructorOptions } from 'electron';

/**
 * How the one window is made. Everything that keeps the page apart from the machine is said outright,
 * defaults included, so that a changed default changes nothing here.
 * Source: Electron documentation, tutorial/security, items 2, 3, 4, 6, 7 and 8.
 *
 * @param preload the bundled preload script
 */
export function windowOptions(preload: string): BrowserWindowConstructorOptions {
  return {
    width: 1280,
    height: 800,
    minWidth: 640,
    minHeight: 480,
    show: false,
    title: 'Changewright',
    backgroundColor: '#e8e6e1',
    webPreferences: {
      preload,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      experimentalFeatures: false,
      webviewTag: false,
      navigateOnDragDrop: false,
      spellcheck: false,
    },
  };
}
