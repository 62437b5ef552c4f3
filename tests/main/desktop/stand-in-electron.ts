/** A stand-in for the `electron` module: records what the shell asks of it, so that settings can be asserted. */
type Handler = (...args: never[]) => unknown;

export const asked = {
  windows: [] as FakeWindow[],
  handlers: new Map<string, Handler>(),
  listeners: new Map<string, Handler>(),
  schemes: [] as unknown[],
  protocolHandlers: new Map<string, (request: Request) => Promise<Response>>(),
  sandboxed: false,
  exposed: new Map<string, unknown>(),
  saveDialog: { canceled: true, filePath: '' },
};

class FakeContents {
  readonly handlers = new Map<string, Handler>();
  readonly mainFrame = { url: 'tightbook://app/index.html' };
  readonly sent: unknown[][] = [];
  openHandler: ((details: { url: string }) => { action: string }) | null = null;
  on(name: string, handler: Handler): void {
    this.handlers.set(name, handler);
  }
  setWindowOpenHandler(handler: (details: { url: string }) => { action: string }): void {
    this.openHandler = handler;
  }
  send(...args: unknown[]): void {
    this.sent.push(args);
  }
  async printToPDF(): Promise<Buffer> {
    return Buffer.from('%PDF-');
  }
}

export class FakeWindow {
  readonly options: { webPreferences: Record<string, unknown> } & Record<string, unknown>;
  readonly webContents = new FakeContents();
  loaded = '';
  constructor(options: FakeWindow['options']) {
    this.options = options;
    asked.windows.push(this);
  }
  once(): void {}
  isDestroyed(): boolean {
    return false;
  }
  destroy(): void {}
  async loadURL(url: string): Promise<void> {
    this.loaded = url;
  }
}

export class FakeSession {
  request: ((contents: unknown, permission: string, decide: (granted: boolean) => void) => void) | null = null;
  check: (() => boolean) | null = null;
  device: (() => boolean) | null = null;
  setPermissionRequestHandler(handler: FakeSession['request']): void {
    this.request = handler;
  }
  setPermissionCheckHandler(handler: () => boolean): void {
    this.check = handler;
  }
  setDevicePermissionHandler(handler: () => boolean): void {
    this.device = handler;
  }
}

/** What `vi.mock('electron', ...)` returns. */
export function standIn() {
  return {
    BrowserWindow: FakeWindow,
    session: { defaultSession: new FakeSession(), fromPartition: () => new FakeSession() },
    protocol: {
      registerSchemesAsPrivileged: (schemes: unknown[]) => asked.schemes.push(...schemes),
      handle: (scheme: string, handler: (request: Request) => Promise<Response>) =>
        asked.protocolHandlers.set(scheme, handler),
    },
    ipcMain: {
      handle: (channel: string, handler: Handler) => asked.handlers.set(channel, handler),
      on: (channel: string, handler: Handler) => asked.listeners.set(channel, handler),
    },
    ipcRenderer: { invoke: async () => null, send: () => undefined, on: () => undefined, off: () => undefined },
    contextBridge: { exposeInMainWorld: (name: string, api: unknown) => asked.exposed.set(name, api) },
    webUtils: { getPathForFile: () => '/dropped/file.csv' },
    dialog: { showSaveDialog: async () => asked.saveDialog },
    app: { enableSandbox: () => undefined },
    Menu: { buildFromTemplate: () => ({}), setApplicationMenu: () => undefined },
  };
}
