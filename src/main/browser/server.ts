/**
 * The browser shell: the same application as the desktop's, served to one browser on this machine.
 *
 * Binds 127.0.0.1 only; every request is checked for host, origin and cookie (access.ts).
 */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { encodeFrame, framedType, holdsArrays } from '#core/contract/framing.ts';
import { isCallName } from '#core/contract/parse-request.ts';
import { type Envelope, ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import type { EngineClient } from '../client/engine-client.ts';
import { problemOf } from '../client/problem-of.ts';
import { type Access, createAccess } from './access.ts';
import { contentSecurityPolicy, sendStatic } from './static-files.ts';
import { createUploads, type Uploads } from './uploads.ts';

export interface BrowserShell {
  readonly port: number;
  /** Address with the one-time token. */
  readonly address: string;
  close(): Promise<void>;
}

export interface BrowserShellOptions {
  readonly client: EngineClient;
  /** Folder of the built renderer. */
  readonly rendererFolder: string;
  readonly uploadFolder: string;
  /** 0: any free port. */
  readonly port: number;
}

const maxBodyBytes = 1024 * 1024;

/** Starts serving. */
export async function startBrowserShell(options: BrowserShellOptions): Promise<BrowserShell> {
  const access = createAccess();
  const uploads = createUploads(options.uploadFolder);
  const streams = new Set<ServerResponse>();
  const running = new Map<unknown, AbortController>();
  let port = options.port;
  const server = createServer((request, response) => {
    handle(request, response, { ...options, port, access, uploads, streams, running }).catch((thrown: unknown) => {
      reply(response, { ok: false, problem: problemOf(thrown) });
    });
  });
  // An upload takes as long as it takes; every other route is bounded by its body limit.
  server.requestTimeout = 0;
  server.headersTimeout = 20_000;
  port = await listen(server, options.port);
  const stopEvents = options.client.onEvent((event) => push(streams, { event }));
  const heartbeat = setInterval(() => {
    for (const stream of streams) stream.write(':\n\n');
  }, 20_000);
  heartbeat.unref();
  return {
    port,
    address: `http://127.0.0.1:${port}/?token=${access.token}`,
    async close() {
      stopEvents();
      clearInterval(heartbeat);
      for (const stream of streams) stream.end();
      await new Promise<void>((done) => {
        server.close(() => done());
        server.closeAllConnections();
      });
    },
  };
}

interface Served extends BrowserShellOptions {
  readonly access: Access;
  readonly uploads: Uploads;
  readonly streams: Set<ServerResponse>;
  /** Running calls by the page's id, for cancelling. */
  readonly running: Map<unknown, AbortController>;
}

async function handle(request: IncomingMessage, response: ServerResponse, served: Served): Promise<void> {
  setHeaders(response);
  const url = new URL(request.url ?? '/', `http://127.0.0.1:${served.port}`);
  const refusal = served.access.refuse(request, served.port);
  if (refusal) {
    // Only the opening of the printed address may come without the cookie; host and origin are checked there too.
    const mayOpen =
      refusal.status === 403 && request.method === 'GET' && url.pathname === '/' && url.searchParams.has('token');
    const cookie = mayOpen ? served.access.open(url.searchParams.get('token')) : null;
    if (cookie) response.writeHead(303, { 'set-cookie': cookie, location: '/' }).end();
    else response.writeHead(refusal.status, { 'content-type': 'text/plain; charset=utf-8' }).end(refusal.why);
    return;
  }
  if (request.method === 'GET') {
    if (url.pathname === '/events') openStream(request, response, served.streams);
    else if (url.searchParams.has('token')) response.writeHead(303, { location: '/' }).end();
    else sendStatic(served.rendererFolder, url.pathname, response);
    return;
  }
  if (request.method !== 'POST') {
    response.writeHead(405, { allow: 'GET, POST' }).end();
    return;
  }
  if (url.pathname === '/call') return answerCall(request, response, served);
  if (url.pathname === '/inbox') {
    const body = await jsonBody(request);
    const file = announced(body);
    reply(response, { ok: true, value: { ticket: await served.uploads.announce(file.name, file.size) } });
    return;
  }
  const upload = /^\/inbox\/([0-9a-f-]{36})$/.exec(url.pathname)?.[1];
  if (upload) {
    const received = await served.uploads.receive(upload, request);
    const ticket = await served.client.offer({ ...received, ours: true });
    reply(response, { ok: true, value: { ticket } });
    return;
  }
  response.writeHead(404).end();
}

async function answerCall(request: IncomingMessage, response: ServerResponse, served: Served): Promise<void> {
  const message = await jsonBody(request);
  const { call, id, lane, body } = message;
  if (message.cancel !== undefined) {
    served.running.get(message.cancel)?.abort();
    reply(response, { ok: true, value: null });
    return;
  }
  if (typeof call !== 'string' || !isCallName(call)) {
    throw new ProblemError('wrong-request', said('problem.wrong-request', { detail: `no such call: ${String(call)}` }));
  }
  const cancel = new AbortController();
  // A page that goes away, or aborts its request, no longer wants the answer.
  response.on('close', () => {
    if (!response.writableFinished) cancel.abort();
  });
  served.running.set(id, cancel);
  const value = await served.client
    .callRaw(call, body ?? {}, {
      signal: cancel.signal,
      ...(typeof lane === 'string' ? { lane } : {}),
      onProgress: (progress) => push(served.streams, { id, progress }),
    })
    .finally(() => served.running.delete(id));
  reply(response, { ok: true, value });
}

function reply(response: ServerResponse, envelope: Envelope<unknown>): void {
  if (response.headersSent || response.destroyed) {
    response.destroy();
    return;
  }
  if (envelope.ok && holdsArrays(envelope.value)) {
    response.writeHead(200, { 'content-type': framedType }).end(encodeFrame(envelope));
  } else {
    response.writeHead(200, { 'content-type': 'application/json; charset=utf-8' }).end(JSON.stringify(envelope));
  }
}

function setHeaders(response: ServerResponse): void {
  response.setHeader('content-security-policy', contentSecurityPolicy);
  response.setHeader('x-content-type-options', 'nosniff');
  response.setHeader('referrer-policy', 'no-referrer');
  response.setHeader('cross-origin-opener-policy', 'same-origin');
  response.setHeader('cross-origin-resource-policy', 'same-origin');
  response.setHeader('cache-control', 'no-store');
}

function openStream(request: IncomingMessage, response: ServerResponse, streams: Set<ServerResponse>): void {
  response.writeHead(200, { 'content-type': 'text/event-stream; charset=utf-8' });
  response.write(':\n\n');
  streams.add(response);
  request.on('close', () => streams.delete(response));
}

function push(streams: Set<ServerResponse>, message: unknown): void {
  const text = `data: ${JSON.stringify(message)}\n\n`;
  for (const stream of streams) stream.write(text);
}

function announced(body: Readonly<Record<string, unknown>>): { name: string; size: number } {
  const { name, size } = body;
  if (
    typeof name !== 'string' ||
    name.length === 0 ||
    name.length > 1000 ||
    typeof size !== 'number' ||
    !Number.isSafeInteger(size) ||
    size < 0
  ) {
    throw new ProblemError(
      'wrong-request',
      said('problem.wrong-request', { detail: 'a file is announced by name and size' }),
    );
  }
  return { name, size };
}

async function jsonBody(request: IncomingMessage): Promise<Readonly<Record<string, unknown>>> {
  const wrong = (detail: string): ProblemError =>
    new ProblemError('wrong-request', said('problem.wrong-request', { detail }));
  if (!/^application\/json\b/.test(request.headers['content-type'] ?? '')) throw wrong('the body must be JSON');
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request) {
    const piece: Buffer = chunk;
    size += piece.length;
    if (size > maxBodyBytes) throw wrong('the body is larger than 1 MiB');
    chunks.push(piece);
  }
  let parsed: unknown;
  try {
    parsed = JSON.parse(Buffer.concat(chunks).toString('utf8'));
  } catch {
    throw wrong('the body is not JSON');
  }
  if (typeof parsed !== 'object' || parsed === null || Array.isArray(parsed)) throw wrong('the body must be an object');
  return Object.fromEntries(Object.entries(parsed));
}

function listen(server: Server, port: number): Promise<number> {
  return new Promise((done, failed) => {
    server.once('error', failed);
    server.listen(port, '127.0.0.1', () => {
      const address = server.address();
      done(typeof address === 'object' && address ? address.port : port);
    });
  });
}
