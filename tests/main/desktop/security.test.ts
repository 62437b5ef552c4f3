/**
 * The desktop shell's security settings, asserted against a stand-in for the `electron` module: its runtime is not
 * needed. The list follows the checklist in Electron's own documentation (Security, items on context isolation,
 * sandbox, permissions, navigation, new windows, custom protocol, sender validation).
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { asked, FakeSession, FakeWindow } from './stand-in-electron.ts';

vi.mock('electron', async () => (await import('./stand-in-electron.ts')).standIn());

const { makeWindow, refusePermissions } = await import('../../../src/main/desktop/window.ts');
const { declareScheme, serveScheme } = await import('../../../src/main/desktop/app-protocol.ts');
const { channels, serveWindow } = await import('../../../src/main/desktop/desktop-calls.ts');

const fakeClient = {
  calls: [] as unknown[][],
  uploadFolder: '',
  async callRaw(...args: unknown[]) {
    this.calls.push(args);
    return { answered: true };
  },
  async call() {
    return null;
  },
  async offer() {
    return 'ticket-1';
  },
  onEvent: () => () => undefined,
  async close() {},
};

const invoke = (channel: string, event: unknown, body: unknown): Promise<unknown> => {
  const handler = asked.handlers.get(channel) as ((event: unknown, body: unknown) => Promise<unknown>) | undefined;
  if (!handler) throw new Error(`nothing is served on ${channel}`);
  return handler(event, body);
};

describe('window', () => {
  it('isolates the page, sandboxes it and gives it no Node', () => {
    const window = makeWindow() as unknown as FakeWindow;
    expect(window.options.webPreferences).toMatchObject({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      webviewTag: false,
      navigateOnDragDrop: false,
    });
    expect(String(window.options.webPreferences.preload)).toMatch(/preload\.cjs$/);
  });

  it('refuses navigation to other places, new windows and web views', () => {
    const window = makeWindow() as unknown as FakeWindow;
    const contents = window.webContents;
    const navigate = contents.handlers.get('will-navigate') as unknown as (
      event: { preventDefault(): void },
      url: string,
    ) => void;
    const prevent = vi.fn();
    navigate({ preventDefault: prevent }, 'https://elsewhere.example/');
    navigate({ preventDefault: prevent }, 'tightbook://app.elsewhere.example/');
    navigate({ preventDefault: prevent }, 'file:///etc/passwd');
    expect(prevent).toHaveBeenCalledTimes(3);
    navigate({ preventDefault: prevent }, 'tightbook://app/index.html');
    expect(prevent).toHaveBeenCalledTimes(3);
    const attach = contents.handlers.get('will-attach-webview') as unknown as (event: {
      preventDefault(): void;
    }) => void;
    attach({ preventDefault: prevent });
    expect(prevent).toHaveBeenCalledTimes(4);
    expect(contents.openHandler?.({ url: 'https://elsewhere.example/' })).toEqual({ action: 'deny' });
  });

  it('denies every permission a page asks for', () => {
    const session = new FakeSession();
    refusePermissions(session as never);
    const decide = vi.fn();
    for (const permission of ['media', 'geolocation', 'notifications', 'hid', 'clipboard-read']) {
      session.request?.(null, permission, decide);
    }
    expect(decide.mock.calls).toEqual([[false], [false], [false], [false], [false]]);
    expect(session.check?.()).toBe(false);
    expect(session.device?.()).toBe(false);
  });
});

describe('own protocol', () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-protocol-'));
  const renderer = path.join(folder, 'renderer');

  beforeEach(async () => {
    const { mkdirSync } = await import('node:fs');
    mkdirSync(renderer, { recursive: true });
    writeFileSync(path.join(renderer, 'index.html'), '<!doctype html>');
    writeFileSync(path.join(folder, 'secret.txt'), 'secret');
    declareScheme();
    serveScheme(renderer);
  });

  const get = async (url: string): Promise<Response> => {
    const handler = asked.protocolHandlers.get('tightbook');
    if (!handler) throw new Error('the scheme is not served');
    return handler(new Request(url));
  };

  it('serves the renderer with a policy that allows no inline script', async () => {
    const response = await get('tightbook://app/index.html');
    expect(response.status).toBe(200);
    const policy = response.headers.get('content-security-policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).toMatch(/script-src 'self';/);
    expect(policy.split(';').find((part) => part.includes('script-src'))).not.toContain('unsafe');
    expect(response.headers.get('x-content-type-options')).toBe('nosniff');
  });

  it.each([
    'tightbook://app/../secret.txt',
    'tightbook://app/%2e%2e/secret.txt',
    'tightbook://app/..%5csecret.txt',
    'tightbook://other/index.html',
    'tightbook://app/%00',
  ])('serves nothing outside the folder: %s', async (url) => {
    expect((await get(url)).status).toBe(404);
  });

  it('is declared as secure before anything else', () => {
    expect(asked.schemes[0]).toMatchObject({ scheme: 'tightbook', privileges: { standard: true, secure: true } });
    rmSync(folder, { recursive: true, force: true });
  });
});

describe('calls of the window', () => {
  const window = new FakeWindow({ webPreferences: {} });
  serveWindow(window as never, fakeClient as never);
  const own = { senderFrame: window.webContents.mainFrame };

  it('answers its own main frame with an envelope', async () => {
    const reply = await invoke(channels.call, own, { v: 1, id: 1, call: 'app:status', body: {} });
    expect(reply).toEqual({ ok: true, value: { answered: true } });
  });

  it.each([
    ['another frame', { senderFrame: { url: 'tightbook://app/index.html' } }],
    ['no frame', { senderFrame: null }],
  ])('throws at a call from %s', async (_name, event) => {
    await expect(invoke(channels.call, event, { v: 1, id: 2, call: 'app:status', body: {} })).rejects.toThrow(
      'stranger',
    );
  });

  it('throws when the main frame shows a foreign page', async () => {
    const strayed = new FakeWindow({ webPreferences: {} });
    (strayed.webContents.mainFrame as { url: string }).url = 'https://elsewhere.example/';
    serveWindow(strayed as never, fakeClient as never);
    await expect(
      invoke(
        channels.call,
        { senderFrame: strayed.webContents.mainFrame },
        { v: 1, id: 3, call: 'app:status', body: {} },
      ),
    ).rejects.toThrow('stranger');
    serveWindow(window as never, fakeClient as never);
  });

  it('answers an unknown call with a problem and never reaches the engine', async () => {
    const before = fakeClient.calls.length;
    const reply = await invoke(channels.call, own, { v: 1, id: 4, call: 'constructor', body: {} });
    expect(reply).toMatchObject({ ok: false, problem: { kind: 'wrong-request' } });
    expect(fakeClient.calls.length).toBe(before);
  });

  it('takes only absolute paths for offered files', async () => {
    expect(await invoke(channels.offer, own, { path: 'relative.csv', name: 'relative.csv' })).toMatchObject({
      ok: false,
    });
    expect(await invoke(channels.offer, own, { path: path.resolve('dump.csv'), name: 'dump.csv' })).toEqual({
      ok: true,
      value: { ticket: 'ticket-1' },
    });
  });

  it('writes no file when the save dialog is cancelled', async () => {
    expect(await invoke(channels.save, own, { name: 'a.csv', mime: 'text/csv', bytes: new Uint8Array(1) })).toEqual({
      ok: true,
      value: false,
    });
  });
});

describe('preload', () => {
  it('exposes values only, on the channels that the main process serves', async () => {
    await import('../../../src/main/desktop/preload.ts');
    const api = asked.exposed.get('tightbook') as Record<string, unknown>;
    expect(Object.keys(api).sort()).toEqual(['call', 'cancel', 'offerFile', 'onMessage', 'saveFile']);
    const { readFileSync } = await import('node:fs');
    const source = readFileSync(new URL('../../../src/main/desktop/preload.ts', import.meta.url), 'utf8');
    for (const channel of Object.values(channels)) expect(source).toContain(`'${channel}'`);
  });
});
