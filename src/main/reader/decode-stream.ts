/** Decodes a byte stream piece by piece and notes what could not be decoded. */
import { isAscii } from 'node:buffer';
import { TextDecoder } from 'node:util';
import type { Encoding } from '#core/intake/encoding.ts';

/** Sign that stands for bytes which are no text. */
export const replacement = '\ufffd';

export class StreamDecoder {
  /** A multi-byte character that only UTF-8 explains was seen. */
  sawMultiByte = false;
  /** Bytes that are no UTF-8 were seen. */
  sawUndecodable = false;
  readonly #decoder: TextDecoder;
  #skip: number;
  #wasPlain = true;

  constructor(encoding: Encoding, bomBytes: number) {
    this.#decoder = new TextDecoder(encoding, { ignoreBOM: true });
    this.#skip = bomBytes;
  }

  decode(bytes: Uint8Array): string {
    let piece = bytes;
    if (this.#skip > 0) {
      const skipped = Math.min(this.#skip, piece.length);
      piece = piece.subarray(skipped);
      this.#skip -= skipped;
    }
    return this.#note(this.#decoder.decode(piece, { stream: true }), piece);
  }

  end(): string {
    const text = this.#decoder.decode();
    // What is left at the end is a character cut in two.
    if (text.includes(replacement)) this.sawUndecodable = true;
    return text;
  }

  #note(text: string, piece: Uint8Array): string {
    // A character cut by the end of a piece comes out, or fails, with the next one.
    const plain = isAscii(piece);
    const isOrdinary = plain && this.#wasPlain;
    this.#wasPlain = plain;
    if (isOrdinary) return text;
    if (text.includes(replacement)) this.sawUndecodable = true;
    if (!this.sawMultiByte && /[\u0080-\ufffc]/.test(text)) this.sawMultiByte = true;
    return text;
  }
}
