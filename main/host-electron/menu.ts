import type { MenuItemConstructorOptions } from 'electron';

/**
 * The menu. Undo and redo are left to the window, where they take back decisions; here they would only
 * reach text fields and take the keys away.
 */
export function menuTemplate(platform: NodeJS.Platform): MenuItemConstructorOptions[] {
  const application: MenuItemConstructorOptions[] =
    platform === 'darwin' ? [{ role: 'appMenu' }] : [];
  return [
    ...application,
    { label: 'File', submenu: [{ role: platform === 'darwin' ? 'close' : 'quit' }] },
    {
      label: 'Edit',
      submenu: [{ role: 'cut' }, { role: 'copy' }, { role: 'paste' }, { role: 'selectAll' }],
    },
    {
      label: 'View',
      submenu: [
        { role: 'resetZoom' },
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
      ],
    },
    { label: 'Window', submenu: [{ role: 'minimize' }, { role: 'zoom' }] },
  ];
}
