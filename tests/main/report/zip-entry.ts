/** Reads what a report packed. */
import { inflateRawSync } from 'node:zlib';

/** Text of one entry of a zip file, by its central directory. */
export function zipEntry(zip: Uint8Array, name: string): string {
  const bytes = Buffer.from(zip);
  const end = bytes.lastIndexOf(Buffer.from([0x50, 0x4b, 0x05, 0x06]));
  let at = bytes.readUInt32LE(end + 16);
  for (let left = bytes.readUInt16LE(end + 10); left > 0; left -= 1) {
    const nameLength = bytes.readUInt16LE(at + 28);
    if (bytes.toString('utf8', at + 46, at + 46 + nameLength) === name) {
      const local = bytes.readUInt32LE(at + 42);
      const from = local + 30 + bytes.readUInt16LE(local + 26) + bytes.readUInt16LE(local + 28);
      const packed = bytes.subarray(from, from + bytes.readUInt32LE(at + 20));
      return (bytes.readUInt16LE(at + 10) === 8 ? inflateRawSync(packed) : packed).toString('utf8');
    }
    at += 46 + nameLength + bytes.readUInt16LE(at + 30) + bytes.readUInt16LE(at + 32);
  }
  throw new Error(`${name} is not in the file`);
}
