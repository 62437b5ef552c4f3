/**
 * What makes two rows the same reading, as a number that grows with time.
 *
 * key = floor(at / 1000) * 2^21 + 21 bits of a hash of the rest: a safe integer up to the year 2106. Growing with time,
 * inserts go to the end of the unique index; a random key is ten times slower at four million readings. Two different
 * readings may share a key: whoever meets a held key compares the fields and goes on to the next number.
 */

/** Keys that one second of civil time holds. */
export const keysPerSecond = 2_097_152;

const bits = new Float64Array(1);
const words = new Uint32Array(bits.buffer);

/** 32-bit mixing step of MurmurHash3 (A. Appleby, public domain). */
function mix(hash: number, word: number): number {
  let k = Math.imul(word, 0xcc9e2d51);
  k = (k << 15) | (k >>> 17);
  let h = hash ^ Math.imul(k, 0x1b873593);
  h = (h << 13) | (h >>> 19);
  return (Math.imul(h, 5) + 0xe6546b64) | 0;
}

function mixNumber(hash: number, value: number): number {
  // +0 and -0 are one value; every absent value is the same NaN.
  bits[0] = Number.isNaN(value) ? Number.NaN : value + 0;
  return mix(mix(hash, words[0]!), words[1]!);
}

/** Hash of the fields that identify a reading, k left out; 32 bits, unsigned. */
export function identityHash(tool: number, at: number, torque: number, unit: number, angle: number): number {
  let h = mix(0x9747b28c, tool);
  h = mixNumber(h, at);
  h = mixNumber(h, torque);
  h = mix(h, unit);
  h = mixNumber(h, angle);
  h ^= h >>> 16;
  h = Math.imul(h, 0x85ebca6b);
  h ^= h >>> 13;
  h = Math.imul(h, 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/** The key of the k-th reading of an identity. `at` must be a number. */
export function identityKey(at: number, hash: number, k: number): number {
  const low = (k === 0 ? hash : mix(hash, k)) >>> 11;
  return Math.floor(at / 1000) * keysPerSecond + low;
}
