/** The engine's end of the reader thread: starts it, asks, cancels, ends it. */
import { Worker } from 'node:worker_threads';
import { ProblemError } from '#core/contract/problems.ts';
import type { DumpReading } from '#core/intake/dump-reading.ts';
import { said } from '#core/text/said.ts';
import { readerUrl } from '../worker-url.ts';
import type {
  FromReader,
  ReaderJob,
  ReaderProgress,
  ReaderSettings,
  ReaderValues,
  StagedBlock,
  ToReader,
} from './reader-jobs.ts';

interface Waiting {
  readonly resolve: (value: ReaderValues[keyof ReaderValues]) => void;
  readonly reject: (error: unknown) => void;
  readonly onProgress: ((progress: ReaderProgress) => void) | undefined;
  readonly onFirstLines: ((reading: DumpReading) => void) | undefined;
  readonly onBlock: ((block: StagedBlock) => void) | undefined;
}

export interface AskOptions {
  readonly onProgress?: ((progress: ReaderProgress) => void) | undefined;
  readonly onFirstLines?: ((reading: DumpReading) => void) | undefined;
  readonly onBlock?: ((block: StagedBlock) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/** How long a closing thread is waited for. */
const closeWaitMs = 5000;

export class ReaderThread {
  readonly #settings: ReaderSettings;
  #worker: Worker | null = null;
  #waiting = new Map<number, Waiting>();
  #nextId = 1;
  #closed = false;

  constructor(settings: ReaderSettings) {
    this.#settings = settings;
  }

  /** Does one job; jobs run one after another in the order asked. */
  async ask<J extends ReaderJob>(job: J, options: AskOptions = {}): Promise<ReaderValues[J['kind']]> {
    if (this.#closed || options.signal?.aborted) throw cancelledProblem();
    const id = this.#nextId++;
    const cancel = new SharedArrayBuffer(4);
    const worker = this.#started();
    const stop = (): void => {
      // The flag is seen in the middle of a loop, the message between two reads of the file.
      Atomics.store(new Int32Array(cancel), 0, 1);
      this.#send({ cancel: id });
    };
    options.signal?.addEventListener('abort', stop, { once: true });
    try {
      const value = await new Promise<ReaderValues[keyof ReaderValues]>((resolve, reject) => {
        this.#waiting.set(id, {
          resolve,
          reject,
          onProgress: options.onProgress,
          onFirstLines: options.onFirstLines,
          onBlock: options.onBlock,
        });
        worker.postMessage({ id, job, cancel } satisfies ToReader);
      });
      // The reader answers a job with the value of its kind.
      return value as ReaderValues[J['kind']];
    } finally {
      options.signal?.removeEventListener('abort', stop);
      this.#waiting.delete(id);
    }
  }

  /** Ends the thread: politely, then after five seconds by force. */
  async close(): Promise<void> {
    this.#closed = true;
    const worker = this.#worker;
    if (!worker) return;
    this.#worker = null;
    const exited = new Promise<void>((resolve) => worker.once('exit', () => resolve()));
    worker.postMessage({ close: true } satisfies ToReader);
    const timer = setTimeout(() => void worker.terminate(), closeWaitMs);
    await exited;
    clearTimeout(timer);
    this.#failAll(cancelledProblem());
  }

  #started(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(readerUrl, {
      workerData: this.#settings,
      // V8's young heap grows with the rows that pass; held small, memory stays flat and nothing gets slower.
      resourceLimits: { maxYoungGenerationSizeMb: 24 },
    });
    worker.on('message', (message: FromReader) => {
      const waiting = this.#waiting.get(message.id);
      if (!waiting) return;
      if ('progress' in message) waiting.onProgress?.(message.progress);
      else if ('firstLines' in message) waiting.onFirstLines?.(message.firstLines);
      else if ('block' in message) waiting.onBlock?.(message.block);
      else if (message.ok) waiting.resolve(message.value);
      else waiting.reject(fromProblem(message.problem));
    });
    worker.on('error', (error) => {
      this.#worker = null;
      this.#failAll(new ProblemError('fault', said('problem.fault', { detail: error.message })));
    });
    worker.on('exit', () => {
      if (this.#worker === worker) this.#worker = null;
      this.#failAll(cancelledProblem());
    });
    this.#worker = worker;
    return worker;
  }

  #send(message: ToReader): void {
    this.#worker?.postMessage(message);
  }

  #failAll(error: ProblemError): void {
    for (const waiting of this.#waiting.values()) waiting.reject(error);
    this.#waiting.clear();
  }
}

function cancelledProblem(): ProblemError {
  return new ProblemError('cancelled', said('problem.cancelled', {}));
}

/** A problem that crossed from the thread, as an error again. */
function fromProblem(problem: ProblemError['problem']): ProblemError {
  // Said crossed as plain data; the catalogue on this side has the same keys.
  return new ProblemError(problem.kind, problem.said, problem.hint);
}
