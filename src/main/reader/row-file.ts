/**
 * Interpreted rows on disk between reading and taking in: one block a batch, one typed array a field.
 *
 * A field that is the same on all rows of a batch (an absent angle, the unit) costs eight bytes, so that a row takes 40
 * to 100 bytes. The file lives and dies with its ticket; its form is no contract between program versions.
 */
import { type FileHandle, open } from 'node:fs/promises';
import { batchCapacity, emptyRowBatch, type FileNames, type RowBatch } from '#core/intake/row-batch.ts';
import type { BatchNames } from '../store/store.ts';

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

/** Bytes before the fields of a block: rows, length of the names, which fields are constant. */
const headBytes = 16;

/** Writes batches one after another. */
export class RowFileWriter {
  readonly #file: FileHandle;
  constructor(file: FileHandle) {
    this.#file = file;
  }

  static async create(path: string): Promise<RowFileWriter> {
    return new RowFileWriter(await open(path, 'w'));
  }

  /** Empties the file: the pass starts again. */
  async restart(): Promise<void> {
    await this.#file.truncate(0);
    this.#position = 0;
  }
  #position = 0;

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
    const block = Buffer.concat([head, padded(named), ...parts]);
    await this.#file.write(block, 0, block.length, this.#position);
    this.#position += block.length;
  }

  async close(): Promise<void> {
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
    const head = Buffer.alloc(headBytes);
    let position = 0;
    // One buffer, grown once: a fresh one a block would be garbage of 50 MB a million rows.
    let block = Buffer.alloc(0);
    for (;;) {
      const { bytesRead } = await file.read(head, 0, headBytes, position);
      if (bytesRead < headBytes) return;
      position += headBytes;
      const n = head.readUInt32LE(0);
      const namedBytes = head.readUInt32LE(4);
      const constant = head.readUInt32LE(8);
      if (n > capacity) {
        capacity = n;
        batch = emptyRowBatch(capacity);
      }
      let size = roundedUp(namedBytes);
      fields.forEach((field, at) => {
        const width = batch[field].BYTES_PER_ELEMENT;
        size += roundedUp(width * ((constant >>> at) & 1 ? 1 : n));
      });
      if (block.length < size) block = Buffer.from(new ArrayBuffer(size));
      await file.read(block, 0, size, position);
      position += size;
      const names: BatchNames =
        namedBytes === 0
          ? { fastener: [], batch: [], station: [], note: [] }
          : // Written by `write` above.
            (JSON.parse(block.toString('utf8', 0, namedBytes)) as BatchNames);
      let offset = roundedUp(namedBytes);
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
      yield { batch, names };
    }
  } finally {
    await file.close();
  }
}

function isConstant(column: Float64Array | Int32Array | Uint8Array, n: number): boolean {
  const first = column[0];
  for (let i = 1; i < n; i++) if (!Object.is(column[i], first)) return false;
  return true;
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
