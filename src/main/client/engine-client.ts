/** What the three shells know of the engine: call, progress, cancel, events, offer a file, close. */
import { MessageChannel, type MessagePort, Worker } from 'node:worker_threads';
import type { CallName, Replies, RequestInput } from '#core/contract/calls.ts';
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import { parseRequest } from '#core/contract/parse-request.ts';
import { type Problem, ProblemError } from '#core/contract/problems.ts';
import type { FromEngine, OfferedFile, ToEngine } from '#core/contract/wire.ts';
import { said } from '#core/text/said.ts';
import { engineUrl } from '../worker-url.ts';

/** How an engine is opened; plain data, since it crosses to a thread. */
export interface EngineSettings {
  readonly storePath: string;
  readonly programVersion: string;
  /** Folder with the sample scenario. */
  readonly sampleFolder: string;
  /** Name that the journal notes as who did it. */
  readonly who: string;
  /** Folder that the shell watches for new dumps; absent: none. */
  readonly watched?: string | undefined;
}

export interface CallOptions {
  readonly lane?: string;
  readonly onProgress?: (progress: Progress) => void;
  readonly signal?: AbortSignal;
}

/** A problem that the engine answered with. */
export class CallError extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.message);
    this.name = 'CallError';
    this.problem = problem;
  }
}

export interface EngineClient {
  /** Folder into which a shell may write uploads before it offers them. */
  readonly uploadFolder: string;
  /** Parses the request, asks, and resolves with the reply; rejects with CallError or ProblemError. */
  call<C extends CallName>(call: C, body: RequestInput<C>, options?: CallOptions): Promise<Replies[C]>;
  /** As `call` for a request that came over a border and is not typed yet. */
  callRaw(call: CallName, body: unknown, options?: CallOptions): Promise<unknown>;
  offer(file: OfferedFile): Promise<string>;
  onEvent(listener: (event: StoreEvent) => void): () => void;
  /** Lets running work end (five seconds at most), then ends the engine. */
  close(): Promise<void>;
}

interface Pending {
  resolve(value: unknown): void;
  reject(error: Error): void;
  readonly onProgress: ((progress: Progress) => void) | undefined;
}

const closeWithinMs = 5000;

/**
 * Starts an engine and waits until it stands.
 *
 * @param where `worker`: a thread of its own, so that a window's process stays free; `here`: this thread, for the
 *   command line, which has nothing else to do and starts faster so
 */
export async function startEngine(
  settings: EngineSettings,
  where: 'worker' | 'here' = 'worker',
): Promise<EngineClient> {
  return where === 'worker' ? inWorker(settings) : inThisThread(settings);
}

async function inWorker(settings: EngineSettings): Promise<EngineClient> {
  const worker = new Worker(engineUrl, { workerData: settings, name: 'engine' });
  const client = createClient(
    (message) => worker.postMessage(message),
    async () => {
      await Promise.race([new Promise((done) => worker.once('exit', done)), delay(closeWithinMs)]);
      await worker.terminate();
    },
  );
  worker.on('message', (message: FromEngine) => client.receive(message));
  worker.on('error', (error) => client.fail(error instanceof Error ? error : new Error(String(error))));
  worker.on('exit', () => client.fail(new Error('the engine has ended')));
  return { ...client.api, uploadFolder: await client.ready };
}

async function inThisThread(settings: EngineSettings): Promise<EngineClient> {
  const { runEngine } = await import('../engine/run-engine.ts');
  const { port1, port2 } = new MessageChannel();
  const client = createClient(
    (message) => port1.postMessage(message),
    async () => {
      port1.close();
    },
  );
  port1.on('message', (message: FromEngine) => client.receive(message));
  void runEngine(settings, port2 as MessagePort);
  return { ...client.api, uploadFolder: await client.ready };
}

function createClient(post: (message: ToEngine) => void, end: () => Promise<void>) {
  const pending = new Map<number, Pending>();
  const listeners = new Set<(event: StoreEvent) => void>();
  let next = 1;
  let dead: Error | null = null;
  let settleReady: { resolve: (uploadFolder: string) => void; reject: (error: Error) => void } | null = null;
  const ready = new Promise<string>((resolve, reject) => {
    settleReady = { resolve, reject };
  });

  const send = (make: (id: number) => ToEngine, options: CallOptions = {}): Promise<unknown> => {
    if (dead) return Promise.reject(dead);
    const id = next;
    next += 1;
    const reply = new Promise<unknown>((resolve, reject) => {
      pending.set(id, { resolve, reject, onProgress: options.onProgress });
    });
    const { signal } = options;
    if (signal) {
      const cancel = (): void => post({ cancel: id });
      signal.addEventListener('abort', cancel, { once: true });
      void reply.catch(() => null).finally(() => signal.removeEventListener('abort', cancel));
    }
    post(make(id));
    if (signal?.aborted) post({ cancel: id });
    return reply;
  };

  const callRaw = (call: CallName, body: unknown, options: CallOptions = {}): Promise<unknown> => {
    let request: unknown;
    try {
      request = parseRequest(call, body);
    } catch (thrown) {
      return Promise.reject(thrown);
    }
    const lane = options.lane;
    return send(
      (id) => (lane === undefined ? { v: 1, id, call, body: request } : { v: 1, id, call, lane, body: request }),
      options,
    );
  };

  const api: Omit<EngineClient, 'uploadFolder'> = {
    // The reply's type belongs to the call's name; the engine is the other half of the same table.
    call: (call, body, options) => callRaw(call, body, options) as Promise<never>,
    callRaw,
    offer: (file) => send((id) => ({ v: 1, id, call: 'shell:offer', body: file })) as Promise<string>,
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async close() {
      if (dead) return;
      await Promise.race([send((id) => ({ v: 1, id, call: 'shell:close' })).catch(() => null), delay(closeWithinMs)]);
      await end();
    },
  };

  return {
    api,
    ready,
    receive(message: FromEngine): void {
      if ('ready' in message) {
        if (message.ready) settleReady?.resolve(message.uploadFolder);
        else settleReady?.reject(new CallError(message.problem));
        return;
      }
      if ('event' in message) {
        for (const listener of listeners) listener(message.event);
        return;
      }
      const waiting = pending.get(message.id);
      if (!waiting) return;
      if ('progress' in message) {
        waiting.onProgress?.(message.progress);
        return;
      }
      pending.delete(message.id);
      if (message.ok) waiting.resolve(message.value);
      else waiting.reject(new CallError(message.problem));
    },
    fail(error: Error): void {
      dead = new ProblemError('fault', said('problem.fault', { detail: error.message }));
      settleReady?.reject(dead);
      for (const waiting of pending.values()) waiting.reject(dead);
      pending.clear();
    },
  };
}

const delay = (ms: number): Promise<void> =>
  new Promise((done) => {
    setTimeout(done, ms).unref();
  });
