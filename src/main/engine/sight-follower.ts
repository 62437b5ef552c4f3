/**
 * Judges a large file's rows while the reader is still at it: the row file is read behind the reader, block by block, so
 * that the preview is there when the last line is read.
 *
 * Only what the rows themselves say is used, so nothing has to be taken back but when the reader starts again.
 */
import { ProblemError } from '#core/contract/problems.ts';
import { emptyRowBatch, type RowBatch } from '#core/intake/row-batch.ts';
import { said } from '#core/text/said.ts';
import type { StagedBlock } from '../reader/reader-jobs.ts';
import { readBlock } from '../reader/row-file.ts';
import { type FileLook, type FileSight, fileLook, richRows } from './file-plant.ts';
import type { RegisterState } from './register-state.ts';

export class SightFollower {
  readonly #path: string;
  readonly #state: RegisterState;
  readonly #signal: AbortSignal | undefined;
  /** Made when the first large file is followed: most files are small. */
  #batch: RowBatch | null = null;
  #buffer: Buffer = Buffer.alloc(0);
  #pass = -1;
  #look: FileLook | null = null;
  /** Told of, not yet looked at. */
  #blocks: StagedBlock[] = [];
  #work: Promise<void> | null = null;

  constructor(path: string, state: RegisterState, signal?: AbortSignal) {
    this.#path = path;
    this.#state = state;
    this.#signal = signal;
  }

  /** Takes note of a block that lies in the row file. Small files are left alone: they are looked at whole, later. */
  saw(block: StagedBlock): void {
    if (block.pass !== this.#pass) {
      this.#pass = block.pass;
      this.#look = null;
      this.#blocks = [];
    }
    this.#blocks.push(block);
    if (block.rows > richRows) this.#work ??= this.#catchUp();
  }

  /**
   * What was seen of the file, when the reader has ended.
   *
   * @param rows rows of the file; null comes back when not all of them were seen
   */
  async done(rows: number): Promise<FileSight | null> {
    await this.#work;
    return this.#look !== null && this.#look.total === rows ? this.#look.done() : null;
  }

  /** One buffer for all blocks, which are of much the same length. */
  #room(bytes: number): Buffer {
    if (this.#buffer.length < bytes) this.#buffer = Buffer.allocUnsafeSlow(2 * bytes);
    return this.#buffer.subarray(0, bytes);
  }

  async #catchUp(): Promise<void> {
    try {
      for (let block = this.#blocks.shift(); block !== undefined; block = this.#blocks.shift()) {
        if (this.#signal?.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
        this.#batch ??= emptyRowBatch();
        const names = await readBlock(this.#path, block.from, this.#room(block.to - block.from), this.#batch);
        // Meanwhile the reader may have started again: what was read is void.
        if (block.pass !== this.#pass) continue;
        if (names === null) throw new Error('a staged block could not be read back');
        this.#look ??= fileLook(this.#state, { isRich: false, newestFirst: false, open: null });
        this.#look.meet(block.names);
        this.#look.add(this.#batch, names);
      }
    } catch {
      // Without what was not seen `done` gives nothing, and the file is looked at when it has been read.
      this.#look = null;
      this.#pass = Number.POSITIVE_INFINITY;
    } finally {
      this.#work = null;
    }
  }
}
