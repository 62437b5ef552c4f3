/**
 * Interpreted rows on disk between reading and taking in: one block a batch, one typed array a field.
 *
 * A field that is the same on all rows of a batch (an absent angle, the unit) costs eight bytes, so that a row takes 40
 * to 100 bytes. The file lives and dies with its ticket; its form is no contract between program versions.
 */
import { type FileHandle, open } from 'node:fs/promises';
import { batchCapacity, emptyRowBatch, type FileNames, type RowBatch } from '#core/intake/row-batch.ts';
import type { BatchNames } from '../store/store.ts';
import { writeWhole } from './write-whole.ts';

type Field = Exclude<keyof RowBatch, 'length'>;

const fields: readonly Field[] = [
  'at',
  'torque',
  'angle',
  'sequence',
  'target',
  'low',
  'high',
  'tool',
  'operator',
  'joint',
  'fastener',
  'batch',
  'station',
  'note',
  'batchPosition',
  'batchSize',
  'line',
  'lines',
  'atStep',
  'unit',
  'decimals',
  'own',
];

const oneRow = emptyRowBatch(1);
/** Bytes of one value of a field. */
const fieldBytes = (field: Field): number => oneRow[field].BYTES_PER_ELEMENT;

/** Bytes before the fields of a block: rows, length of the names, which fields are constant. */
const headBytes = 16;

/** Writes batches one after another. */
export class RowFileWriter {
  readonly #file: FileHandle;
  readonly #onBlock: (end: number) => void;
  constructor(file: FileHandle, onBlock: (end: number) => void) {
    this.#file = file;
    this.#onBlock = onBlock;
  }

  /** @param onBlock told, block by block, where each ends once it lies in the file */
  static async create(path: string, onBlock: (end: number) => void = () => undefined): Promise<RowFileWriter> {
    return new RowFileWriter(await open(path, 'w'), onBlock);
  }

  /** Empties the file: the pass starts again. */
  async restart(): Promise<void> {
    await this.#written;
    await this.#file.truncate(0);
    this.#position = 0;
  }
  #position = 0;
  #written: Promise<unknown> = Promise.resolve();
  /** Two buffers take turns, one being written and one being filled: blocks leave no garbage outside the heap. */
  #buffers: [Buffer, Buffer] = [Buffer.alloc(0), Buffer.alloc(0)];

  /** Copies the batch out; it may be used again when the promise is done. */
  async write(batch: RowBatch, names: FileNames): Promise<void> {
    const n = batch.length;
    if (n === 0) return;
    const own: BatchNames = {
      fastener: names.fastener,
      batch: names.batch,
      station: names.station,
      note: names.note,
    };
    const hasNames = own.fastener.length > 0 || own.batch.length > 0 || own.station.length > 0 || own.note.length > 0;
    const named = hasNames ? Buffer.from(JSON.stringify(own), 'utf8') : Buffer.alloc(0);
    const parts: Uint8Array[] = [];
    const head = Buffer.alloc(headBytes);
    let constant = 0;
    fields.forEach((field, position) => {
      const column = batch[field];
      const same = isConstant(column, n);
      if (same) constant |= 1 << position;
      const values = column.subarray(0, same ? 1 : n);
      parts.push(padded(new Uint8Array(values.buffer, values.byteOffset, values.byteLength)));
    });
    head.writeUInt32LE(n, 0);
    head.writeUInt32LE(named.length, 4);
    head.writeUInt32LE(constant >>> 0, 8);
    // The block is a copy: it is written while the next batch is read.
    const block = this.#packed([head, padded(named), ...parts]);
    await this.#written;
    const end = this.#position + block.length;
    this.#written = writeWhole(this.#file, block, this.#position).then(() => this.#onBlock(end));
    this.#written.catch(() => undefined);
    this.#position = end;
  }

  /** The parts one behind another; good until the call after the next. */
  #packed(parts: readonly Uint8Array[]): Buffer {
    const size = parts.reduce((sum, part) => sum + part.length, 0);
    let [buffer, other] = this.#buffers;
    if (buffer.length < size) buffer = Buffer.allocUnsafeSlow(size + (size >> 2));
    this.#buffers = [other, buffer];
    let at = 0;
    for (const part of parts) {
      buffer.set(part, at);
      at += part.length;
    }
    return buffer.subarray(0, size);
  }

  /** Waits until all is written. */
  async finish(): Promise<void> {
    await this.#written;
  }

  async close(): Promise<void> {
    // Whoever closes without `finish` gives up what was written.
    await this.#written.catch(() => undefined);
    await this.#file.close();
  }
}

/** Reads the batches back in order; the batch is used again for the next block. */
export async function* readRowFile(
  path: string,
): AsyncGenerator<{ readonly batch: RowBatch; readonly names: BatchNames }> {
  const file = await open(path, 'r');
  try {
    let batch = emptyRowBatch(batchCapacity);
    let capacity = batchCapacity;
    // One buffer, grown where needed: a fresh one a block would be garbage of 50 MB a million rows.
    let block = Buffer.from(new ArrayBuffer(headBytes));
    let { bytesRead } = await file.read(block, 0, headBytes, 0);
    let head = bytesRead < headBytes ? null : headOf(block, 0);
    let position = headBytes;
    /** Reads a block's fields, and the head of the block after it. */
    const fieldsOf = (size: number): Promise<{ bytesRead: number }> => {
      if (block.length < size + headBytes) block = Buffer.from(new ArrayBuffer(size + headBytes));
      const reading = file.read(block, 0, size + headBytes, position);
      reading.catch(() => undefined);
      position += size + headBytes;
      return reading;
    };
    let coming = head && fieldsOf(head.size);
    while (head !== null && coming !== null) {
      ({ bytesRead } = await coming);
      const { rows: n, size } = head;
      if (n > capacity) {
        capacity = n;
        batch = emptyRowBatch(capacity);
      }
      const names = unpack(block, 0, head, batch);
      // All is copied out: the next block comes in while this one is worked on.
      head = bytesRead < size + headBytes ? null : headOf(block, size);
      coming = head && fieldsOf(head.size);
      yield { batch, names };
    }
  } finally {
    await file.close();
  }
}

/**
 * Reads the one block that lies at `from`, while the file is still being written.
 *
 * @param block room of the block's very length
 * @returns the names of the block; null when the file holds no such block (any more): the reader has started again
 */
export async function readBlock(
  path: string,
  from: number,
  block: Buffer,
  batch: RowBatch,
): Promise<BatchNames | null> {
  const file = await open(path, 'r');
  try {
    const { bytesRead } = await file.read(block, 0, block.length, from);
    if (bytesRead < block.length || block.length < headBytes) return null;
    const head = headOf(block, 0);
    if (head.size !== block.length - headBytes || head.rows > batch.at.length) return null;
    return unpack(block, headBytes, head, batch);
  } finally {
    await file.close();
  }
}

/** Copies a block's fields, which begin at `start` with its names, into the batch; returns the names. */
function unpack(block: Buffer, start: number, head: Head, batch: RowBatch): BatchNames {
  const { rows: n, namedBytes, constant } = head;
  const names: BatchNames =
    namedBytes === 0
      ? { fastener: [], batch: [], station: [], note: [] }
      : // Written by `write` above.
        (JSON.parse(block.toString('utf8', start, start + namedBytes)) as BatchNames);
  let offset = start + roundedUp(namedBytes);
  fields.forEach((field, at) => {
    const column = batch[field];
    const width = column.BYTES_PER_ELEMENT;
    const same = ((constant >>> at) & 1) === 1;
    const bytes = width * (same ? 1 : n);
    const into = new Uint8Array(column.buffer, column.byteOffset, bytes);
    into.set(block.subarray(offset, offset + bytes));
    if (same) column.fill(column[0]!, 0, n);
    offset += roundedUp(bytes);
  });
  batch.length = n;
  return names;
}

interface Head {
  readonly rows: number;
  readonly namedBytes: number;
  readonly constant: number;
  /** Bytes of the names and fields behind the head. */
  readonly size: number;
}

function headOf(bytes: Buffer, at: number): Head {
  const rows = bytes.readUInt32LE(at);
  const namedBytes = bytes.readUInt32LE(at + 4);
  const constant = bytes.readUInt32LE(at + 8);
  let size = roundedUp(namedBytes);
  fields.forEach((field, position) => {
    size += roundedUp(fieldBytes(field) * ((constant >>> position) & 1 ? 1 : rows));
  });
  return { rows, namedBytes, constant, size };
}

/** Whether all values are one, to the bit: then the column is itself moved on by one place. */
function isConstant(column: Float64Array | Int32Array | Uint8Array, n: number): boolean {
  const width = column.BYTES_PER_ELEMENT;
  const bytes = (from: number): Buffer => Buffer.from(column.buffer, column.byteOffset + from * width, (n - 1) * width);
  return bytes(0).equals(bytes(1));
}

function roundedUp(bytes: number): number {
  return (bytes + 7) & ~7;
}

function padded(bytes: Uint8Array): Uint8Array {
  const size = roundedUp(bytes.length);
  if (size === bytes.length) return bytes;
  const out = new Uint8Array(size);
  out.set(bytes);
  return out;
}
