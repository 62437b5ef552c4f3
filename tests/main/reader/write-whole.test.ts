import { expect, test } from 'vitest';
import { writeWhole } from '../../../src/main/reader/write-whole.ts';

/** A file that takes so many bytes at a time, and so many in all. */
function narrow(atOnce: number, room: number) {
  const held = new Uint8Array(room);
  return {
    held,
    write: async (bytes: Uint8Array, at: number, length: number, position: number) => {
      const n = Math.min(atOnce, length, room - position);
      if (n <= 0) throw Object.assign(new Error('no space left on device'), { code: 'ENOSPC' });
      held.set(bytes.subarray(at, at + n), position);
      return { bytesWritten: n, buffer: bytes };
    },
  };
}

const bytes = Uint8Array.from({ length: 1000 }, (_, i) => i % 251);

test('goes on where a write stopped short', async () => {
  const file = narrow(7, 1010);
  // The promise's type names Node's own buffer; what is asked of it is the count.
  await writeWhole(file as unknown as Parameters<typeof writeWhole>[0], bytes, 10);
  expect([...file.held.subarray(10)]).toEqual([...bytes]);
});

test('a disk that fills up in the middle is an error, not a shorter file', async () => {
  const file = narrow(400, 900) as unknown as Parameters<typeof writeWhole>[0];
  await expect(writeWhole(file, bytes, 0)).rejects.toMatchObject({ code: 'ENOSPC' });
});

test('a file that takes nothing and says nothing does not hang', async () => {
  const file = { write: async () => ({ bytesWritten: 0, buffer: bytes }) } as unknown as Parameters<
    typeof writeWhole
  >[0];
  await expect(writeWhole(file, bytes, 0)).rejects.toMatchObject({ code: 'ENOSPC' });
});
