/**
 * UTF-8 bytes of a text. The core has no TextEncoder in its types; this one is small and needs none.
 *
 * A lone surrogate becomes U+FFFD, as in the WHATWG encoder.
 *
 * @example utf8('°') // => Uint8Array [0xc2, 0xb0]
 */
export function utf8(text: string): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(text.length * 3);
  let n = 0;
  for (let i = 0; i < text.length; i++) {
    let code = text.charCodeAt(i);
    if (code < 0x80) {
      bytes[n++] = code;
      continue;
    }
    if (code >= 0xd800 && code <= 0xdfff) {
      const low = text.charCodeAt(i + 1);
      if (code <= 0xdbff && low >= 0xdc00 && low <= 0xdfff) {
        code = 0x10000 + ((code - 0xd800) << 10) + (low - 0xdc00);
        i++;
      } else code = 0xfffd;
    }
    if (code < 0x800) bytes[n++] = 0xc0 | (code >> 6);
    else {
      if (code < 0x10000) bytes[n++] = 0xe0 | (code >> 12);
      else {
        bytes[n++] = 0xf0 | (code >> 18);
        bytes[n++] = 0x80 | ((code >> 12) & 0x3f);
      }
      bytes[n++] = 0x80 | ((code >> 6) & 0x3f);
    }
    bytes[n++] = 0x80 | (code & 0x3f);
  }
  return bytes.slice(0, n);
}
