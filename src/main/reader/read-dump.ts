/**
 * Reads one file from a byte stream to interpreted rows.
 *
 * Memory does not grow with the file. A hypothesis that the file refutes restarts the pass: `sink.start` is called again
 * and everything handed over before is void. Each kind of hypothesis is refuted at most once, so the passes are few.
 */

import type { PreviewLine } from '#core/contract/models/intake-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import type { DumpReading, RejectedRow } from '#core/intake/dump-reading.ts';
import { type Encoding, findEncoding } from '#core/intake/encoding.ts';
import { Interpreter } from '#core/intake/interpreter.ts';
import {
  type KnownJoint,
  type KnownNames,
  makePlan,
  nothingRefuted,
  type PlanOptions,
  type ReadPlan,
  type Refuted,
} from '#core/intake/read-plan.ts';
import type { FileNames, RowBatch } from '#core/intake/row-batch.ts';
import { sampleOf } from '#core/intake/sample-of.ts';
import { previewLine, refusedReading, sumUp } from '#core/intake/sum-up.ts';
import { Tokeniser } from '#core/intake/tokeniser.ts';
import { said } from '#core/text/said.ts';
import { replacement, StreamDecoder } from './decode-stream.ts';

export type { KnownJoint, KnownNames };

export interface DumpInput {
  /** File name without folders: may name the tool. */
  readonly name: string;
  readonly bytes: number;
  /** Opens the file from its start; called once more when a hypothesis is refuted. */
  open(): AsyncIterable<Uint8Array>;
}

export interface DumpSink {
  /** Before the first row, and again when the pass restarts. */
  start(): void | Promise<void>;
  /** Batch and batch-local names (row-batch.ts) are used again when the promise is done. */
  rows(batch: RowBatch, names: FileNames): void | Promise<void>;
  rejected(rows: readonly RejectedRow[]): void | Promise<void>;
}

export interface DumpOptions extends Omit<PlanOptions, 'fileName'> {
  /** About ten times a second. */
  readonly onProgress?: ((done: number, lines: number) => void) | undefined;
  /** As soon as the first lines are interpreted, long before counting ends. */
  readonly onFirstLines?: ((reading: DumpReading) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/** Text from the start of the file that the plan is made from. */
const headCharacters = 1 << 16;
const mostPreviewLines = 200;
const mostFirstRejected = 50;
const largestFile = 4 * 1024 ** 3;
/** Characters handed to the tokeniser at once: bounds the pause between two looks at the signal. */
const pieceCharacters = 1 << 19;

/**
 * Reads a dump.
 *
 * @throws ProblemError `cancelled` when the signal is aborted; errors of the stream or the sink pass through
 */
export async function readDump(input: DumpInput, sink: DumpSink, options: DumpOptions): Promise<DumpReading> {
  if (input.bytes > largestFile) return refusedReading(input.bytes, said('intake.refused-large', {}));
  let encoding: Encoding | null = null;
  let refuted: Refuted = nothingRefuted;
  for (;;) {
    const outcome: PassOutcome = await onePass(input, sink, options, encoding, refuted);
    if (outcome.kind === 'done') return outcome.reading;
    if (outcome.kind === 'other-encoding') encoding = outcome.encoding;
    else refuted = outcome.refuted;
  }
}

type PassOutcome =
  | { readonly kind: 'done'; readonly reading: DumpReading }
  | { readonly kind: 'other-encoding'; readonly encoding: Encoding }
  | { readonly kind: 'refuted'; readonly refuted: Refuted };

async function onePass(
  input: DumpInput,
  sink: DumpSink,
  options: DumpOptions,
  forced: Encoding | null,
  refuted: Refuted,
): Promise<PassOutcome> {
  const { signal } = options;
  checkCancelled(signal);
  const stream = input.open()[Symbol.asyncIterator]();
  try {
    let bytes = 0;
    // The first bytes decide on the encoding; a stream may give them in crumbs.
    const headPieces: Uint8Array[] = [];
    let headBytes = 0;
    let ended = false;
    while (headBytes < 4 * headCharacters && !ended) {
      const next = await stream.next();
      checkCancelled(signal);
      if (next.done) ended = true;
      else if (next.value.length > 0) {
        headPieces.push(next.value);
        headBytes += next.value.length;
      }
    }
    bytes = headBytes;
    const headBuffer = joined(headPieces, headBytes);
    const found = findEncoding(headBuffer.subarray(0, 1 << 18));
    if (!found.ok) return { kind: 'done', reading: refusedReading(Math.max(bytes, input.bytes), found.said) };
    const encoding = forced ?? found.encoding;
    const decoder = new StreamDecoder(encoding, forced ? 0 : found.bomBytes);
    let text = decoder.decode(headBuffer);
    if (ended) text += decoder.end();
    const mayFallBack = forced === null && !found.proven;
    if (decoder.sawUndecodable && mayFallBack && !onlyValidMultiByte(text)) {
      return { kind: 'other-encoding', encoding: 'windows-1252' };
    }

    const sample = sampleOf(text, headCharacters);
    const planned = makePlan(
      sample,
      ended && sample.length === text.length,
      { ...options, fileName: input.name },
      refuted,
    );
    if ('problem' in planned)
      return { kind: 'done', reading: refusedReading(Math.max(bytes, input.bytes), planned.problem) };
    const { plan } = planned;
    const pass = new Interpreter(plan, options.now, options.known.joints);
    const tokeniser = new Tokeniser(plan.dialect);
    tokeniser.expected = plan.shape.width;
    const firstLines: PreviewLine[] = [];
    const firstRejected: RejectedRow[] = [];
    let firstLinesSent = false;
    let undecodable = decoder.sawUndecodable;
    await sink.start();

    const summary = (complete: boolean): DumpReading =>
      sumUp(plan, pass, {
        fileName: input.name,
        bytes,
        encoding,
        lineTotal: tokeniser.lineTotal,
        firstLines,
        firstRejected,
        complete,
      });

    const drain = async (): Promise<void> => {
      while (tokeniser.next()) {
        if (undecodable && isUndecodable(tokeniser, plan)) pass.takeUndecodable(tokeniser);
        else pass.take(tokeniser);
        if (firstLines.length < mostPreviewLines) firstLines.push(previewLine(tokeniser, pass.lastKind, plan));
        if (pass.isFull) {
          await sink.rows(pass.batch, pass.names);
          pass.clearBatch();
        }
        if (pass.rejects.length >= 1024) await flushRejects();
      }
    };
    const flushRejects = async (): Promise<void> => {
      const rejects = pass.rejects;
      if (rejects.length === 0) return;
      pass.rejects = [];
      for (const row of rejects) {
        if (firstRejected.length >= mostFirstRejected) break;
        firstRejected.push(row);
      }
      await sink.rejected(rejects);
    };

    let lastProgress = 0;
    for (;;) {
      for (let at = 0; at < text.length || at === 0; at += pieceCharacters) {
        const { plain } = decoder;
        if (text.length <= pieceCharacters) tokeniser.push(text, plain?.length === text.length ? plain : null);
        else tokeniser.push(text.slice(at, at + pieceCharacters));
        if (ended && at + pieceCharacters >= text.length) tokeniser.end();
        await drain();
        if (pass.restart) {
          return { kind: 'refuted', refuted: nextRefuted(refuted, pass.restart) };
        }
        checkCancelled(signal);
      }
      if (!firstLinesSent && options.onFirstLines && (firstLines.length >= mostPreviewLines || pass.accepted > 0)) {
        firstLinesSent = true;
        options.onFirstLines(summary(false));
      }
      if (options.onProgress && bytes - lastProgress >= 1 << 20) {
        lastProgress = bytes;
        options.onProgress(bytes, tokeniser.lineTotal);
      }
      if (ended) break;
      const next = await stream.next();
      checkCancelled(signal);
      if (next.done) {
        ended = true;
        text = decoder.end();
      } else {
        bytes += next.value.length;
        text = decoder.decode(next.value);
      }
      if (decoder.sawUndecodable) {
        if (mayFallBack && !decoder.sawMultiByte) return { kind: 'other-encoding', encoding: 'windows-1252' };
        undecodable = true;
      } else undecodable = encoding !== 'windows-1252' && text.includes('\0');
    }
    if (pass.batch.length > 0) {
      await sink.rows(pass.batch, pass.names);
      pass.clearBatch();
    }
    await flushRejects();
    pass.evidence.finish();
    options.onProgress?.(bytes, tokeniser.lineTotal);
    return { kind: 'done', reading: summary(true) };
  } finally {
    // Closes the file also when the pass ends early.
    await stream.return?.(undefined);
  }
}

function nextRefuted(before: Refuted, restart: NonNullable<Interpreter['restart']>): Refuted {
  return {
    order: restart.order ?? before.order,
    mark: restart.mark ?? before.mark,
    recipe: restart.recipe || before.recipe,
  };
}

function joined(pieces: readonly Uint8Array[], length: number): Uint8Array {
  if (pieces.length === 1 && pieces[0]) return pieces[0];
  const whole = new Uint8Array(length);
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

/** Whether the text holds letters beyond ASCII that only UTF-8 can have given, so that bad bytes are damage. */
function onlyValidMultiByte(text: string): boolean {
  let good = 0;
  let bad = 0;
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c === 0xfffd) bad++;
    else if (c > 127) good++;
  }
  return good > bad;
}

/** Whether a record holds undecodable characters where it matters: not in a note or a column that is not read. */
function isUndecodable(record: Tokeniser, plan: ReadPlan): boolean {
  const raw = record.raw();
  if (!raw.includes(replacement) && !raw.includes('\0')) return false;
  if (record.count !== plan.columns.length) return true;
  for (let i = 0; i < record.count; i++) {
    const role = plan.columns[i]?.role ?? 'ignore';
    if (role === 'note' || role === 'ignore') continue;
    const cell = record.cell(i);
    if (cell.includes(replacement) || cell.includes('\0')) return true;
  }
  return false;
}

function checkCancelled(signal: AbortSignal | undefined): void {
  if (signal?.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
}
