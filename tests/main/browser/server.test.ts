/** The browser shell's borders, over real sockets. */
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../src/core/contract/framing.ts';
import { type BrowserShell, startBrowserShell } from '../../../src/main/browser/server.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-shell-'));
const offered: { path: string; name: string; ours: boolean }[] = [];
let shell: BrowserShell;
let cookie = '';

const client = {
  uploadFolder: path.join(folder, 'uploads'),
  async callRaw(call: string, body: unknown, options?: { signal?: AbortSignal }) {
    if (call === 'demo:load') {
      return new Promise((_resolve, reject) =>
        options?.signal?.addEventListener('abort', () => reject(new Error('aborted'))),
      );
    }
    return call === 'app:status' ? { echoed: body, series: Float64Array.of(1.5, -2.25) } : { echoed: body };
  },
  async call() {
    return null;
  },
  async offer(file: { path: string; name: string; ours: boolean }) {
    offered.push(file);
    return 'ticket-1';
  },
  onEvent: () => () => undefined,
  async close() {},
};

interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly body: Buffer;
}

function ask(
  method: string,
  where: string,
  headers: Record<string, string> = {},
  body?: string | Buffer,
): Promise<Answer> {
  return new Promise((done, failed) => {
    const asked = request({ host: '127.0.0.1', port: shell.port, method, path: where, headers }, (response) => {
      const chunks: Buffer[] = [];
      response.on('data', (chunk: Buffer) => chunks.push(chunk));
      response.on('end', () =>
        done({ status: response.statusCode ?? 0, headers: response.headers, body: Buffer.concat(chunks) }),
      );
    });
    asked.on('error', failed);
    asked.end(body);
  });
}

const own = (): Record<string, string> => ({
  host: `127.0.0.1:${shell.port}`,
  origin: `http://127.0.0.1:${shell.port}`,
  cookie,
  'content-type': 'application/json',
});

beforeAll(async () => {
  writeFileSync(path.join(folder, 'index.html'), '<!doctype html><title>t</title>');
  shell = await startBrowserShell({
    client: client as never,
    rendererFolder: folder,
    uploadFolder: client.uploadFolder,
    port: 0,
  });
});

afterAll(async () => {
  await shell.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('the printed address', () => {
  it('is refused with a wrong token', async () => {
    expect((await ask('GET', '/?token=wrong')).status).toBe(403);
  });

  it('is refused under another host name, as DNS rebinding would show it', async () => {
    const token = new URL(shell.address).searchParams.get('token');
    expect((await ask('GET', `/?token=${token}`, { host: `rebound.example:${shell.port}` })).status).toBe(421);
  });

  it('opens once, with a cookie that scripts and other sites cannot use', async () => {
    const { pathname, search } = new URL(shell.address);
    const first = await ask('GET', pathname + search);
    expect(first.status).toBe(303);
    const set = String(first.headers['set-cookie']);
    expect(set).toContain('HttpOnly');
    expect(set).toContain('SameSite=Strict');
    cookie = set.split(';')[0] ?? '';
    expect((await ask('GET', pathname + search)).status).toBe(403);
  });
});

describe('with the cookie', () => {
  it('serves the page with a policy and without caching it', async () => {
    const page = await ask('GET', '/', { cookie });
    expect(page.status).toBe(200);
    const policy = String(page.headers['content-security-policy']);
    expect(
      policy
        .split(';')
        .find((part) => part.includes('script-src'))
        ?.trim(),
    ).toBe("script-src 'self'");
  });

  it.each(['/../package.json', '/%2e%2e/%2e%2e/etc/hosts', '/..%2fsecret', '/%00'])(
    'serves nothing outside its folder: %s',
    async (where) => {
      expect((await ask('GET', where, { cookie })).status).toBe(404);
    },
  );

  it('answers a call, typed arrays framed', async () => {
    const reply = await ask('POST', '/call', own(), JSON.stringify({ v: 1, id: 1, call: 'app:status', body: {} }));
    expect(reply.headers['content-type']).toBe('application/octet-stream');
    const value = decodeFrame(new Uint8Array(reply.body).buffer);
    expect(value).toEqual({ ok: true, value: { echoed: {}, series: Float64Array.of(1.5, -2.25) } });
  });

  it.each([
    ['another origin', { origin: 'https://elsewhere.example' }],
    ['a null origin', { origin: 'null' }],
    ['another site by fetch metadata', { 'sec-fetch-site': 'cross-site' }],
    ['another host', { host: 'elsewhere.example' }],
    ['a wrong cookie', { cookie: 'tightbook=wrong' }],
    ['no cookie', { cookie: '' }],
  ])('refuses a call with %s', async (_name, changed) => {
    const reply = await ask(
      'POST',
      '/call',
      { ...own(), ...(changed as Record<string, string>) },
      JSON.stringify({ v: 1, id: 2, call: 'app:status', body: {} }),
    );
    expect([403, 421]).toContain(reply.status);
  });

  it('refuses a call without any origin', async () => {
    const { origin: _left, ...rest } = own();
    expect((await ask('POST', '/call', rest, '{}')).status).toBe(403);
  });

  it('answers an unknown call, a body that is no JSON and a body over 1 MiB with a problem', async () => {
    for (const body of [
      '{"v":1,"id":3,"call":"toString","body":{}}',
      'not json',
      `{"v":1,"x":"${'x'.repeat(1024 * 1024)}"}`,
    ]) {
      const reply = await ask('POST', '/call', own(), body);
      expect(JSON.parse(reply.body.toString())).toMatchObject({ ok: false, problem: { kind: 'wrong-request' } });
    }
  });

  it('takes an upload to disk and offers it', async () => {
    const announced = await ask('POST', '/inbox', own(), JSON.stringify({ name: 'dump.csv', size: 11 }));
    const { value } = JSON.parse(announced.body.toString());
    const sent = await ask(
      'POST',
      `/inbox/${value.ticket}`,
      { ...own(), 'content-type': 'application/octet-stream' },
      'hello world',
    );
    expect(JSON.parse(sent.body.toString())).toEqual({ ok: true, value: { ticket: 'ticket-1' } });
    expect(offered.at(-1)).toMatchObject({ name: 'dump.csv', ours: true });
    expect(readdirSync(client.uploadFolder)).toHaveLength(1);
  });

  it('leaves nothing behind of an upload that ends early', async () => {
    const before = readdirSync(client.uploadFolder).length;
    const announced = await ask('POST', '/inbox', own(), JSON.stringify({ name: 'cut.csv', size: 100 }));
    const { value } = JSON.parse(announced.body.toString());
    const sent = await ask(
      'POST',
      `/inbox/${value.ticket}`,
      { ...own(), 'content-type': 'application/octet-stream' },
      'short',
    );
    expect(JSON.parse(sent.body.toString())).toMatchObject({ ok: false });
    expect(readdirSync(client.uploadFolder)).toHaveLength(before);
  });
});
