/**
 * Entry of the reader thread: reads files into staging, counts, takes in. One job at a time, in the order asked.
 *
 * It has a connection of its own and holds the store's write lock only while it takes a file in.
 */
import { parentPort, workerData } from 'node:worker_threads';
import { ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import { storeProblem } from '../store/sqlite/sqlite-problem.ts';
import { openSqliteStore, type SqliteStore } from '../store/sqlite/sqlite-store.ts';
import type { FromReader, ReaderJob, ReaderProgress, ReaderSettings, ReaderValues, ToReader } from './reader-jobs.ts';
import { stageDump } from './stage-dump.ts';
import { stagedFile } from './staged-file.ts';
import { readStaged } from './staging.ts';

if (!parentPort) throw new Error('reader-worker is the entry of a thread');
const port = parentPort;
// Written by ReaderThread on the other side of this very border.
const settings = workerData as ReaderSettings;

let store: SqliteStore | null = null;
const waiting: { id: number; job: ReaderJob; flag: Int32Array; abort: AbortController }[] = [];
let busy = false;

port.on('message', (message: ToReader) => {
  if ('close' in message) {
    for (const one of waiting) one.abort.abort();
    void (async () => {
      await store?.close();
      port.close();
    })();
    return;
  }
  if ('job' in message) {
    waiting.push({
      id: message.id,
      job: message.job,
      flag: new Int32Array(message.cancel),
      abort: new AbortController(),
    });
    void next();
    return;
  }
  waiting.find((one) => one.id === message.cancel)?.abort.abort();
});

async function next(): Promise<void> {
  if (busy) return;
  const one = waiting[0];
  if (!one) return;
  busy = true;
  const cancelled = (): boolean => one.abort.signal.aborted || Atomics.load(one.flag, 0) !== 0;
  try {
    if (cancelled()) throw new ProblemError('cancelled', said('problem.cancelled', {}));
    const value = await work(one.id, one.job, one.abort.signal, cancelled);
    send({ id: one.id, ok: true, value });
  } catch (error) {
    const { problem } = storeProblem(error, settings.storePath);
    if (problem.kind === 'fault') console.error(error);
    send({ id: one.id, ok: false, problem });
  } finally {
    busy = false;
    waiting.shift();
    void next();
  }
}

async function work(
  id: number,
  job: ReaderJob,
  signal: AbortSignal,
  cancelled: () => boolean,
): Promise<ReaderValues[keyof ReaderValues]> {
  const onProgress = (progress: ReaderProgress): void => send({ id, progress });
  switch (job.kind) {
    case 'read':
      return stageDump(job, {
        storePath: settings.storePath,
        nowMs: Date.now(),
        signal,
        onProgress,
        onFirstLines: (reading) => send({ id, firstLines: reading }),
        onBlock: (block) => send({ id, block }),
      });
    case 'probe': {
      const staged = stagedOf(job.ticket);
      const file = stagedFile(settings.storePath, job.ticket, staged, {
        name: '',
        who: '',
        nowMs: 0,
        overlap: job.overlap,
        answers: {},
        notices: [],
      });
      return opened().probe(file, cancelled);
    }
    case 'evidence': {
      const staged = stagedOf(job.ticket);
      const words = { name: '', who: '', nowMs: 0, overlap: null, answers: {}, notices: [] };
      return opened().heldEvidence(stagedFile(settings.storePath, job.ticket, staged, words), job.open);
    }
    case 'take-in': {
      const staged = stagedOf(job.ticket);
      const file = stagedFile(settings.storePath, job.ticket, staged, job);
      return opened().takeIn(
        file,
        (done) => onProgress({ phase: 'taking-in', done, total: staged.rows, unit: 'readings', lines: 0 }),
        cancelled,
      );
    }
    case 'check':
      return opened().quickCheck();
    case 'back-up':
      await opened().backUp(job.path);
      return null;
  }
}

function stagedOf(ticket: string) {
  const staged = readStaged(settings.storePath, ticket);
  if (!staged) throw new ProblemError('not-found', said('problem.not-found', { what: 'read file', name: ticket }));
  return staged;
}

function opened(): SqliteStore {
  store ??= openSqliteStore({
    path: settings.storePath,
    programVersion: settings.programVersion,
    clock: Date.now,
    waitMs: settings.waitMs,
  });
  return store;
}

function send(message: FromReader): void {
  port.postMessage(message);
}
