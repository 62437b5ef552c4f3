/** A page as PDF, printed by a hidden window that can run no script and reach no network. */
import { BrowserWindow, session } from 'electron';
import { refusePermissions, refuseStrangers } from './window.ts';

/** Prints a self-contained page on A4 with the margins of its own style sheet. */
export async function printToPdf(html: string): Promise<Uint8Array> {
  const apart = session.fromPartition('print');
  refusePermissions(apart);
  const window = new BrowserWindow({
    show: false,
    webPreferences: {
      session: apart,
      javascript: false,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
    },
  });
  try {
    refuseStrangers(window.webContents);
    await window.loadURL(`data:text/html;charset=utf-8;base64,${Buffer.from(html, 'utf8').toString('base64')}`);
    return new Uint8Array(
      await window.webContents.printToPDF({ printBackground: true, preferCSSPageSize: true, pageSize: 'A4' }),
    );
  } finally {
    window.destroy();
  }
}
