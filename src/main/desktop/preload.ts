/** What the page may do outside itself. Values cross, never `ipcRenderer` and never an event. */
import { contextBridge, ipcRenderer, webUtils } from 'electron';
import type { DesktopApi } from '#core/contract/desktop-api.ts';

// Repeated from desktop-calls.ts, which a sandboxed preload cannot import (it would pull in the main process); a test
// holds the two together.
const channels = {
  call: 'tightbook:call',
  cancel: 'tightbook:cancel',
  offer: 'tightbook:offer',
  save: 'tightbook:save',
  message: 'tightbook:message',
} as const;

const api = {
  call: (message) => ipcRenderer.invoke(channels.call, message),
  cancel: (id) => ipcRenderer.send(channels.cancel, id),
  onMessage(listener) {
    const forward = (_event: unknown, message: Parameters<typeof listener>[0]): void => listener(message);
    ipcRenderer.on(channels.message, forward);
    return () => ipcRenderer.off(channels.message, forward);
  },
  offerFile: (file) =>
    ipcRenderer.invoke(channels.offer, {
      path: webUtils.getPathForFile(file as never),
      name: (file as { name: string }).name,
    }),
  saveFile: (file) => ipcRenderer.invoke(channels.save, file),
} satisfies DesktopApi<unknown>;

contextBridge.exposeInMainWorld('tightbook', api);
