/** The fingerprint of a layout: dialect, header and keys of the preamble, and for a table without header its kinds. */
import { plainWords } from './header-words.ts';
import type { TableShape } from './table-shape.ts';
import type { Dialect } from './tokeniser.ts';

/** 16 hexadecimal digits; equal for files of one layout. Not a secret and not a proof: two FNV-1a hashes of 32 bits. */
export function fingerprintOf(dialect: Dialect, shape: TableShape, preambleKeys: readonly string[]): string {
  const parts = [
    dialect.delimiter,
    dialect.quote,
    dialect.escape,
    String(shape.width),
    shape.header
      ? shape.header.map(plainWords).join('\u001f')
      : shape.kinds.map((kind) => (kind === 'integer' ? 'number' : kind)).join('\u001f'),
    preambleKeys.map(plainWords).join('\u001f'),
  ];
  const text = parts.join('\u001e');
  return hash(text, 0x811c9dc5) + hash(text, 0x9747b28c);
}

function hash(text: string, seed: number): string {
  let h = seed;
  for (let i = 0; i < text.length; i++) {
    h = Math.imul(h ^ (text.charCodeAt(i) & 0xff), 0x01000193);
    h = Math.imul(h ^ (text.charCodeAt(i) >>> 8), 0x01000193);
  }
  h ^= h >>> 16;
  return (h >>> 0).toString(16).padStart(8, '0');
}
