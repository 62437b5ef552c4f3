/** Which character encoding a file's first bytes speak for, or why they are no text at all. */
import { type Said, said } from '../text/said.ts';

export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';

export type EncodingFinding =
  | { readonly ok: true; readonly encoding: Encoding; readonly bomBytes: number; readonly proven: boolean }
  | { readonly ok: false; readonly said: Said };

/** Names as people know them. */
export const encodingNames: Readonly<Record<Encoding, string>> = {
  'utf-8': 'UTF-8',
  'utf-16le': 'UTF-16',
  'utf-16be': 'UTF-16 (big endian)',
  'windows-1252': 'Windows-1252',
};

/** Bytes that files of other kinds start with; only kinds that people really drop on a window like this. */
const magics: readonly {
  readonly bytes: readonly number[];
  readonly kind: 'spreadsheet' | 'picture' | 'archive' | 'document' | 'binary';
}[] = [
  { bytes: [0x50, 0x4b, 0x03, 0x04], kind: 'spreadsheet' },
  { bytes: [0x50, 0x4b, 0x05, 0x06], kind: 'archive' },
  { bytes: [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1], kind: 'spreadsheet' },
  { bytes: [0x09, 0x08, 0x10, 0x00, 0x00, 0x06], kind: 'spreadsheet' },
  { bytes: [0x25, 0x50, 0x44, 0x46, 0x2d], kind: 'document' },
  { bytes: [0x7b, 0x5c, 0x72, 0x74, 0x66], kind: 'document' },
  { bytes: [0x89, 0x50, 0x4e, 0x47], kind: 'picture' },
  { bytes: [0xff, 0xd8, 0xff], kind: 'picture' },
  { bytes: [0x47, 0x49, 0x46, 0x38], kind: 'picture' },
  { bytes: [0x49, 0x49, 0x2a, 0x00], kind: 'picture' },
  { bytes: [0x4d, 0x4d, 0x00, 0x2a], kind: 'picture' },
  { bytes: [0x1f, 0x8b], kind: 'archive' },
  { bytes: [0x37, 0x7a, 0xbc, 0xaf, 0x27, 0x1c], kind: 'archive' },
  { bytes: [0x52, 0x61, 0x72, 0x21, 0x1a, 0x07], kind: 'archive' },
  { bytes: [0x7f, 0x45, 0x4c, 0x46], kind: 'binary' },
  { bytes: [0x53, 0x51, 0x4c, 0x69, 0x74, 0x65, 0x20, 0x66], kind: 'binary' },
];

/**
 * Finds the encoding from the first bytes (some kilobytes are enough).
 *
 * UTF-8 is the leading hypothesis for anything without a byte order mark or NUL bytes; the reader falls back to
 * Windows-1252 when bytes that are no UTF-8 turn up and none that only UTF-8 explains were seen (`proven` false).
 */
export function findEncoding(head: Uint8Array): EncodingFinding {
  if (head.length === 0) return refuse('empty');
  for (const magic of magics) {
    if (magic.bytes.every((byte, i) => head[i] === byte)) return refuse(magic.kind);
  }
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf) {
    return hasNul(head) ? refuse('binary') : { ok: true, encoding: 'utf-8', bomBytes: 3, proven: true };
  }
  if (head[0] === 0xff && head[1] === 0xfe && !(head[2] === 0 && head[3] === 0)) {
    return { ok: true, encoding: 'utf-16le', bomBytes: 2, proven: true };
  }
  if (head[0] === 0xfe && head[1] === 0xff) return { ok: true, encoding: 'utf-16be', bomBytes: 2, proven: true };
  if (hasNul(head)) {
    const wide = wideOrder(head);
    return wide ? { ok: true, encoding: wide, bomBytes: 0, proven: true } : refuse('binary');
  }
  let controls = 0;
  for (const byte of head)
    if (byte < 32 && byte !== 9 && byte !== 10 && byte !== 13 && byte !== 12 && byte !== 26) controls++;
  // A stray control character is a fault of one line; a share of them is a file of another kind.
  if (controls > 8 && controls / head.length > 0.005) return refuse('binary');
  return { ok: true, encoding: 'utf-8', bomBytes: 0, proven: false };
}

/** UTF-16 without a mark: mostly Latin text has a NUL in every other byte, and no NUL in the rest. */
function wideOrder(head: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const even = head.length - (head.length % 2);
  if (even < 8) return null;
  let nulFirst = 0;
  let nulSecond = 0;
  for (let i = 0; i < even; i += 2) {
    if (head[i] === 0) nulFirst++;
    if (head[i + 1] === 0) nulSecond++;
  }
  const pairs = even / 2;
  if (nulFirst === 0 && nulSecond / pairs > 0.4) return 'utf-16le';
  if (nulSecond === 0 && nulFirst / pairs > 0.4) return 'utf-16be';
  return null;
}

const hasNul = (head: Uint8Array): boolean => head.includes(0);

type Refusal = 'empty' | 'spreadsheet' | 'picture' | 'archive' | 'document' | 'binary';

function refuse(kind: Refusal): EncodingFinding {
  return { ok: false, said: said(`intake.refused-${kind}`, {}) };
}
