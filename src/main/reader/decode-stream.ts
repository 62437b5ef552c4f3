/** Decodes a byte stream piece by piece and notes what could not be decoded. */
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
    return this.#note(this.#decoder.decode(piece, { stream: true }), piece.length);
  }

  end(): string {
    return this.#note(this.#decoder.decode(), 0);
  }

  #note(text: string, bytes: number): string {
    if (text.includes(replacement)) this.sawUndecodable = true;
    // Fewer characters than bytes: some took more than one. (Equal for plain ASCII, the ordinary case.)
    else if (!this.sawMultiByte && text.length < bytes - 3) this.sawMultiByte = true;
    return text;
  }
}
