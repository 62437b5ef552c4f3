/** The one window: its security settings, and what it refuses. */
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { BrowserWindow, type Session, type WebContents } from 'electron';
import { appOrigin } from './app-protocol.ts';

/** Preload built as one CommonJS file beside the main bundle; a sandboxed preload can require nothing. */
const preload = path.join(path.dirname(fileURLToPath(import.meta.url)), '..', 'preload', 'preload.cjs');

/** Makes the window, still empty: its calls must be served before its page asks. */
export function makeWindow(): BrowserWindow {
  const window = new BrowserWindow({
    width: 1440,
    height: 900,
    minWidth: 1100,
    minHeight: 700,
    show: false,
    title: 'Tightbook',
    webPreferences: {
      preload,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      webviewTag: false,
      spellcheck: false,
      navigateOnDragDrop: false,
    },
  });
  refuseStrangers(window.webContents);
  window.once('ready-to-show', () => window.show());
  return window;
}

/** Navigation away from our pages, new windows and web views are refused. */
export function refuseStrangers(contents: WebContents): void {
  contents.on('will-navigate', (event, url) => {
    if (!url.startsWith(`${appOrigin}/`)) event.preventDefault();
  });
  contents.on('will-frame-navigate', (event) => {
    if (!event.url.startsWith(`${appOrigin}/`)) event.preventDefault();
  });
  contents.on('will-attach-webview', (event) => event.preventDefault());
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
}

/** Without handlers of ours Electron grants permissions that a page asks for. */
export function refusePermissions(session: Session): void {
  session.setPermissionRequestHandler((_contents, _permission, decide) => decide(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
}
