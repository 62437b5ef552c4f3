/**
 * Keeps a file's bytes as they pass: SHA-256, and pieces of about 1 MiB, each deflated alone on the thread pool.
 *
 * A piece ends where a line ends, so that a raw line is found by unpacking one piece. Bytes may pass several times (a
 * reading that starts again); only what was not seen yet is kept.
 */
import { createHash } from 'node:crypto';
import { type FileHandle, open } from 'node:fs/promises';
import { promisify } from 'node:util';
import { deflateRaw } from 'node:zlib';
import { writeWhole } from './write-whole.ts';

const deflate = promisify(deflateRaw);

export interface PieceEntry {
  readonly seq: number;
  /** The physical line, from 1, that starts (or goes on) at the piece's first byte. */
  readonly firstLine: number;
  readonly firstByte: number;
  /** Where the deflated bytes lie in the piece file. */
  readonly offset: number;
  readonly length: number;
}

const pieceBytes = 1 << 20;
/** A line longer than this is cut in the middle. */
const longestPiece = 4 << 20;
/** Room for a piece as it is: with the rest of the line it ends in. */
const roomBytes = pieceBytes + (64 << 10);
/** Room for a deflated piece; dumps take a third to a quarter of their size. */
const packedBytes = 512 * 1024;
/** Pieces deflated at a time: the thread pool has work, and memory stays flat. */
const inFlight = 3;

export class PieceWriter {
  readonly #file: FileHandle;
  readonly #hash = createHash('sha256');
  #index: PieceEntry[] = [];
  #seen = 0;
  #pending: Uint8Array[] = [];
  #pendingBytes = 0;
  #firstByte = 0;
  #line = 1;
  #seq = 0;
  #offset = 0;
  #running: Promise<void>[] = [];
  readonly #free: Buffer[] = [];
  #tail: Promise<void> = Promise.resolve();
  #failed: unknown = null;

  constructor(file: FileHandle) {
    this.#file = file;
  }

  static async create(path: string): Promise<PieceWriter> {
    return new PieceWriter(await open(path, 'w'));
  }

  /** Bytes kept so far. */
  get bytes(): number {
    return this.#seen;
  }

  /** Takes the chunk that starts at `offset` of the file. Its bytes must stay until the next 4 MiB have been taken. */
  async take(chunk: Uint8Array, offset: number): Promise<void> {
    if (this.#failed) throw this.#failed;
    if (offset + chunk.length <= this.#seen) return;
    const fresh = chunk.subarray(this.#seen - offset);
    this.#seen += fresh.length;
    this.#hash.update(fresh);
    let from = 0;
    while (from < fresh.length) {
      const cut = this.#cut(fresh, from);
      if (cut === null) {
        this.#keep(fresh.subarray(from));
        break;
      }
      this.#keep(fresh.subarray(from, cut));
      await this.#flush();
      from = cut;
    }
  }

  /** Ends the last piece; returns what was kept. */
  async finish(): Promise<{ readonly sha256: string; readonly index: readonly PieceEntry[] }> {
    await this.#flush();
    await Promise.all(this.#running);
    await this.#tail;
    if (this.#failed) throw this.#failed;
    return { sha256: this.#hash.digest('hex'), index: this.#index };
  }

  async close(): Promise<void> {
    await Promise.allSettled(this.#running);
    await this.#tail.catch(() => undefined);
    await this.#file.close();
  }

  /** Where the piece ends inside `bytes`; null: not yet. */
  #cut(bytes: Uint8Array, from: number): number | null {
    const room = pieceBytes - this.#pendingBytes;
    if (bytes.length - from < room) return null;
    // The last byte is left alone: what follows it decides whether the line ends there.
    for (let i = from + Math.max(0, room - 1); i < bytes.length - 2; i++) {
      const byte = bytes[i];
      if (byte !== 10 && byte !== 13) continue;
      const even = ((this.#firstByte + this.#pendingBytes + i - from) & 1) === 0;
      // UTF-16, low byte first: the zero after it belongs to the same character.
      const end = bytes[i + 1] === 0 && even ? i + 2 : i + 1;
      const goesOn = byte === 13 && (bytes[end] === 10 || (bytes[end] === 0 && bytes[end + 1] === 10));
      if (!goesOn) return end;
    }
    return this.#pendingBytes + bytes.length - from >= longestPiece ? bytes.length : null;
  }

  #keep(bytes: Uint8Array): void {
    if (bytes.length === 0) return;
    this.#pending.push(bytes);
    this.#pendingBytes += bytes.length;
  }

  /** A buffer for a piece: one that is free again, so that pieces leave no garbage outside the heap. */
  #room(bytes: number): Buffer {
    if (bytes > roomBytes) return Buffer.allocUnsafeSlow(bytes);
    return this.#free.pop() ?? Buffer.allocUnsafeSlow(roomBytes);
  }

  async #flush(): Promise<void> {
    if (this.#pendingBytes === 0) return;
    // A copy in any case: deflating goes on while the caller uses its buffer again.
    const room = this.#room(this.#pendingBytes);
    const bytes = room.subarray(0, this.#pendingBytes);
    let at = 0;
    for (const part of this.#pending) {
      bytes.set(part, at);
      at += part.length;
    }
    this.#pending = [];
    const entry = { seq: this.#seq++, firstLine: this.#line, firstByte: this.#firstByte };
    this.#line += lineEnds(bytes);
    this.#firstByte += bytes.length;
    this.#pendingBytes = 0;
    // Level 1: a fifth of the default's time for a quarter more bytes on text of this kind.
    // One buffer for the result: in the usual 16 KiB steps every piece would come back to this thread dozens of times.
    const packed = deflate(bytes, { level: 1, chunkSize: packedBytes });
    const before = this.#tail;
    const done = (async () => {
      const deflated = await packed;
      if (room.length === roomBytes) this.#free.push(room);
      await before;
      await writeWhole(this.#file, deflated, this.#offset);
      this.#index.push({ ...entry, offset: this.#offset, length: deflated.length });
      this.#offset += deflated.length;
    })();
    this.#tail = done;
    const watched = done.catch((error: unknown) => {
      this.#failed ??= error;
    });
    this.#running.push(watched);
    while (this.#running.length > inFlight) await this.#running.shift();
    if (this.#failed) throw this.#failed;
  }
}

/** Line ends in bytes: LF, CRLF as one, or CR. */
function lineEnds(bytes: Uint8Array): number {
  let n = 0;
  let at = bytes.indexOf(10);
  const hasReturn = bytes.includes(13);
  if (!hasReturn) {
    for (; at >= 0; at = bytes.indexOf(10, at + 1)) n++;
    return n;
  }
  for (let i = 0; i < bytes.length; i++) {
    if (bytes[i] === 10) n++;
    else if (bytes[i] === 13 && bytes[i + 1] !== 10 && !(bytes[i + 1] === 0 && bytes[i + 2] === 10)) n++;
  }
  return n;
}
