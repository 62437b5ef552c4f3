import type { FileHandle } from 'node:fs/promises';

/**
 * Writes all bytes at a place of the file. A single write may take fewer, as it does on a disk that has just filled up:
 * the rest is asked for again, and then fails with the reason.
 *
 * @throws the error of the file system, ENOSPC among them
 */
export async function writeWhole(file: Pick<FileHandle, 'write'>, bytes: Uint8Array, position: number): Promise<void> {
  let at = 0;
  while (at < bytes.length) {
    const { bytesWritten } = await file.write(bytes, at, bytes.length - at, position + at);
    // Nothing and no error either: asking again would never end.
    if (bytesWritten === 0) throw Object.assign(new Error('nothing was written'), { code: 'ENOSPC' });
    at += bytesWritten;
  }
}
