/** The menu: what every desktop program has; no item opens an address. */
import { app, Menu, type MenuItemConstructorOptions } from 'electron';

/** Sets the application's menu. */
export function setMenu(platform: NodeJS.Platform): void {
  const items: MenuItemConstructorOptions[] = [
    ...(platform === 'darwin' ? [{ role: 'appMenu' } satisfies MenuItemConstructorOptions] : []),
    { role: 'fileMenu' },
    { role: 'editMenu' },
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
    { role: 'windowMenu' },
  ];
  Menu.setApplicationMenu(Menu.buildFromTemplate(items));
  app.setAboutPanelOptions({ applicationName: 'Tightbook' });
}
