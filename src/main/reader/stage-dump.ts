/** Reads a file into its ticket's folder: interpreted rows, rejected lines and the original bytes, in one streaming pass. */
import { createHash } from 'node:crypto';
import { type FileHandle, open } from 'node:fs/promises';
import { join } from 'node:path';
import { ProblemError } from '#core/contract/problems.ts';
import type { DumpReading, RejectedRow } from '#core/intake/dump-reading.ts';
import type { FileNames, RowBatch } from '#core/intake/row-batch.ts';
import { said } from '#core/text/said.ts';
import { PieceWriter } from './piece-writer.ts';
import { readDump } from './read-dump.ts';
import type { ReaderProgress, ReaderValues, ReadJob, StagedBlock } from './reader-jobs.ts';
import { RowFileWriter } from './row-file.ts';
import { clearStaged, stagedFiles, ticketFolder, writeStaged } from './staging.ts';

/** Bytes asked of the file at a time: larger reads make longer stalls, not a faster pass. */
const readBytes = 256 * 1024;
/** Buffers that chunks take turns in. */
const ringLength = 32;

export interface StageOptions {
  readonly storePath: string;
  readonly nowMs: number;
  readonly signal: AbortSignal;
  readonly onProgress: (progress: ReaderProgress) => void;
  readonly onFirstLines: (reading: DumpReading) => void;
  /** As soon as rows can be read back, long before the last. */
  readonly onBlock: (block: StagedBlock) => void;
}

/**
 * Reads `job.path` and leaves the result in the folder of `job.ticket`; nothing of the store is locked or changed.
 *
 * @throws ProblemError cancelled, no-permission, disk-full, refused-input when the file changes meanwhile
 */
export async function stageDump(job: ReadJob, options: StageOptions): Promise<ReaderValues['read']> {
  const { storePath } = options;
  const folder = ticketFolder(storePath, job.ticket);
  clearStaged(storePath, job.ticket);
  const file = await open(job.path, 'r');
  let rows: RowFileWriter | null = null;
  let pieces: PieceWriter | null = null;
  let rejectFile: FileHandle | null = null;
  try {
    const before = await file.stat();
    if (job.heldSha256.length > 0) {
      const sha256 = await hashOf(file, options.signal);
      if (job.heldSha256.includes(sha256)) return { staged: null, same: sha256 };
    }
    let pass = 0;
    // Of blocks on their way to the file, in order: what is to be said once they lie there.
    let coming: Omit<StagedBlock, 'pass' | 'from' | 'to'>[] = [];
    let blockFrom = 0;
    rows = await RowFileWriter.create(join(folder, stagedFiles.rows), (to) => {
      const block = coming.shift();
      if (block) options.onBlock({ pass, from: blockFrom, to, ...block });
      blockFrom = to;
    });
    pieces = await PieceWriter.create(join(folder, stagedFiles.pieces));
    // For appending: after a restart has emptied it, writing goes on at its start.
    rejectFile = await open(join(folder, stagedFiles.rejected), 'a');
    const rowFile = rows;
    const pieceFile = pieces;
    const rejected = rejectFile;
    let names: FileNames | null = null;
    let count = 0;
    let told = { tool: 0, operator: 0, joint: 0 };
    const reading = await readDump(
      { name: job.name, bytes: before.size, open: () => bytesOf(file, pieceFile) },
      {
        async start() {
          count = 0;
          names = null;
          await rowFile.restart();
          pass++;
          coming = [];
          blockFrom = 0;
          told = { tool: 0, operator: 0, joint: 0 };
          await rejected.truncate(0);
        },
        async rows(batch: RowBatch, batchNames: FileNames) {
          names = batchNames;
          count += batch.length;
          coming.push({
            rows: count,
            names: {
              tool: batchNames.tool.slice(told.tool),
              operator: batchNames.operator.slice(told.operator),
              joint: batchNames.joint.slice(told.joint),
            },
          });
          told = {
            tool: batchNames.tool.length,
            operator: batchNames.operator.length,
            joint: batchNames.joint.length,
          };
          await rowFile.write(batch, batchNames);
        },
        async rejected(list: readonly RejectedRow[]) {
          const text = list
            .map((row) => `${JSON.stringify([row.line, row.lines, row.code, row.column, row.span, row.text])}\n`)
            .join('');
          await rejected.appendFile(text);
        },
      },
      {
        answers: job.answers,
        set: job.set,
        recipeFor: (fingerprint) => job.recipes.find((recipe) => recipe.fingerprint === fingerprint) ?? null,
        held: job.held ?? undefined,
        known: job.known,
        now: job.now,
        onProgress: (done, lines) =>
          options.onProgress({ phase: 'reading', done, total: before.size, unit: 'bytes', lines }),
        onFirstLines: options.onFirstLines,
        signal: options.signal,
      },
    );
    // A refused file is not kept; of any other the rest of the bytes is.
    if (reading.problem === null && pieceFile.bytes < before.size) {
      for await (const _ of bytesOf(file, pieceFile)) stopIf(options.signal);
    }
    await rowFile.finish();
    const kept = await pieceFile.finish();
    const after = await file.stat();
    if (after.size !== before.size || after.mtimeMs !== before.mtimeMs) {
      throw new ProblemError('refused-input', said('store.file-changed', { name: job.name }));
    }
    // Read by its own name: the compiler does not see that the sink above has set it.
    const met = names as FileNames | null;
    const staged = {
      reading,
      // A refused file may not have been read to its end: the hash of a part of it would name nothing.
      sha256: pieceFile.bytes === before.size ? kept.sha256 : '',
      pieces: kept.index,
      names: {
        tool: [...(met?.tool ?? [])],
        operator: [...(met?.operator ?? [])],
        joint: [...(met?.joint ?? [])],
      },
      rows: count,
      readMs: options.nowMs,
    };
    stopIf(options.signal);
    writeStaged(storePath, job.ticket, staged);
    return { staged, same: null };
  } finally {
    await rows?.close();
    await pieces?.close();
    await rejectFile?.close();
    await file.close();
  }
}

/**
 * The file's bytes from its start, each chunk kept on the way.
 *
 * Chunks take turns in a ring of buffers, so that a large file leaves no garbage of its own size: a chunk holds good
 * until 30 more have been read (7.5 MiB), far beyond what the reader's head and an unfinished piece hold on to.
 */
async function* bytesOf(file: FileHandle, keep: PieceWriter | null): AsyncGenerator<Uint8Array> {
  const ring: Buffer[] = [];
  const bufferOf = (turn: number): Buffer => {
    const buffer = ring[turn] ?? Buffer.allocUnsafeSlow(readBytes);
    ring[turn] = buffer;
    return buffer;
  };
  let at = 0;
  let ahead: ReturnType<typeof file.read> | null = null;
  for (let turn = 0; ; turn = (turn + 1) % ringLength) {
    const { bytesRead } = await (ahead ?? file.read(bufferOf(turn), 0, readBytes, at));
    if (bytesRead === 0) return;
    const bytes = bufferOf(turn).subarray(0, bytesRead);
    at += bytesRead;
    // The next chunk comes in while this one is worked on.
    ahead = file.read(bufferOf((turn + 1) % ringLength), 0, readBytes, at);
    ahead.catch(() => undefined);
    if (keep) await keep.take(bytes, at - bytesRead);
    yield bytes;
  }
}

async function hashOf(file: FileHandle, signal: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of bytesOf(file, null)) {
    stopIf(signal);
    hash.update(chunk);
  }
  return hash.digest('hex');
}

function stopIf(signal: AbortSignal): void {
  if (signal.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
}
