/** Decodes a byte stream piece by piece and notes what could not be decoded. */
import { isAscii } from 'node:buffer';
import { TextDecoder } from 'node:util';
import type { Encoding } from '#core/intake/encoding.ts';

/** Sign that stands for bytes which are no text. */
export const replacement = '\ufffd';

/** A line longer than this is not waited for. */
const longestHeld = 1 << 17;

/**
 * Gives text out in whole lines, as far as lines are of ordinary length: what is cut off at the end of a piece comes
 * with the next one, decoded in one go. Text put together from two strings is read half as fast, character by character.
 */
export class StreamDecoder {
  /** A multi-byte character that only UTF-8 explains was seen. */
  sawMultiByte = false;
  /** Bytes that are no UTF-8 were seen. */
  sawUndecodable = false;
  readonly #decoder: TextDecoder;
  #skip: number;
  #wasPlain = true;
  /** The piece at hand with what was held back before it; used again and again. */
  #joined: Uint8Array = new Uint8Array(0);
  #held: Uint8Array = new Uint8Array(0);
  readonly #holdsBack: boolean;
  /** The bytes of the text given out last, when they are its characters one for one (ASCII); good until the next. */
  plain: Uint8Array | null = null;

  constructor(encoding: Encoding, bomBytes: number) {
    this.#decoder = new TextDecoder(encoding, { ignoreBOM: true });
    this.#skip = bomBytes;
    // In UTF-16 the byte of a line feed is part of other characters too.
    this.#holdsBack = encoding === 'utf-8' || encoding === 'windows-1252';
  }

  decode(bytes: Uint8Array): string {
    let piece = bytes;
    if (this.#skip > 0) {
      const skipped = Math.min(this.#skip, piece.length);
      piece = piece.subarray(skipped);
      this.#skip -= skipped;
    }
    if (this.#holdsBack) piece = this.#wholeLines(piece);
    return this.#note(this.#decoder.decode(piece, { stream: true }), piece);
  }

  /** The piece behind what was held back, up to its last line feed. */
  #wholeLines(piece: Uint8Array): Uint8Array {
    const before = this.#held.length;
    const length = before + piece.length;
    // Twice the need, so that pieces of slightly different length do not each make a buffer.
    if (this.#joined.length < length) this.#joined = new Uint8Array(2 * length);
    this.#joined.set(this.#held);
    this.#joined.set(piece, before);
    const all = this.#joined.subarray(0, length);
    const end = all.lastIndexOf(10) + 1;
    if (end === 0 || length - end > longestHeld) {
      this.#held = new Uint8Array(0);
      return all;
    }
    this.#held = all.slice(end);
    return all.subarray(0, end);
  }

  end(): string {
    const held = this.#held;
    this.#held = new Uint8Array(0);
    const text = this.#note(this.#decoder.decode(held, { stream: true }), held);
    const rest = this.#decoder.decode();
    // What is left at the end is a character cut in two.
    if (rest.includes(replacement)) this.sawUndecodable = true;
    if (rest !== '') this.plain = null;
    return text + rest;
  }

  #note(text: string, piece: Uint8Array): string {
    // A character cut by the end of a piece comes out, or fails, with the next one.
    const plain = isAscii(piece);
    const isOrdinary = plain && this.#wasPlain;
    this.#wasPlain = plain;
    this.plain = isOrdinary && text.length === piece.length ? piece : null;
    if (isOrdinary) return text;
    if (text.includes(replacement)) this.sawUndecodable = true;
    if (!this.sawMultiByte && /[\u0080-\ufffc]/.test(text)) this.sawMultiByte = true;
    return text;
  }
}
