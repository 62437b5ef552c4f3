/** Entry of the desktop application. */
import path from 'node:path';
import { app, type BrowserWindow, dialog, session } from 'electron';
import { type EngineClient, startEngine } from '../client/engine-client.ts';
import { problemOf } from '../client/problem-of.ts';
import { engineSettings } from '../installation.ts';
import { watchFolder } from '../watch-folder.ts';
import { appOrigin, declareScheme, serveScheme } from './app-protocol.ts';
import { serveWindow } from './desktop-calls.ts';
import { setMenu } from './menu.ts';
import { makeWindow, refusePermissions } from './window.ts';

declareScheme();
// Every renderer is sandboxed, whatever a window asks for.
app.enableSandbox();

let window: BrowserWindow | null = null;
let client: EngineClient | null = null;
let stopWatching: (() => void) | null = null;

if (!app.requestSingleInstanceLock()) {
  app.quit();
} else {
  app.on('second-instance', () => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
  });
  app.on('window-all-closed', () => app.quit());
  app.on('will-quit', (event) => {
    if (!client) return;
    // The engine ends in order: running work is rolled back or committed, then the store is let go.
    event.preventDefault();
    const ending = client;
    client = null;
    stopWatching?.();
    void ending.close().finally(() => app.quit());
  });
  void app.whenReady().then(start);
}

/** The value behind an option of the command line. */
function option(name: string): string | undefined {
  const at = process.argv.indexOf(name);
  return at > 0 ? process.argv[at + 1] : undefined;
}

async function start(): Promise<void> {
  refusePermissions(session.defaultSession);
  serveScheme();
  setMenu(process.platform);
  try {
    const storePath = path.resolve(option('--store') ?? path.join(app.getPath('userData'), 'plant.tightbook'));
    const folder = option('--watch');
    const watched = folder === undefined ? undefined : path.resolve(folder);
    client = await startEngine({ ...engineSettings(storePath), watched });
    if (watched !== undefined) stopWatching = watchFolder(watched, client);
    window = makeWindow();
    serveWindow(window, client);
    await window.loadURL(`${appOrigin}/index.html`);
  } catch (thrown) {
    dialog.showErrorBox('Tightbook', problemOf(thrown).message);
    app.quit();
  }
}
