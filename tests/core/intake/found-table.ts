/** Reads a text through `rows` and gives the whole table back, for tests. */
import { type RowsReading, readRows } from '../../../src/main/reader/read-rows.ts';

export interface FoundTable {
  readonly header: readonly string[] | null;
  readonly rows: readonly (readonly string[])[];
}

/** The table of a file as `rows` writes it; the bytes come in pieces, as from a disk. */
export async function foundTable(
  content: string | Uint8Array,
  pieceBytes = 1000,
): Promise<FoundTable & { readonly reading: RowsReading }> {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const rows: string[][] = [];
  let header: readonly string[] | null = null;
  const reading = await readRows(
    {
      name: 'x.csv',
      bytes: bytes.length,
      async *open() {
        for (let at = 0; at < bytes.length; at += pieceBytes) yield bytes.subarray(at, at + pieceBytes);
      },
    },
    {
      start: (names) => {
        header = names;
        rows.length = 0;
      },
      row: (cells) => {
        rows.push([...cells]);
      },
    },
  );
  return { header, rows, reading };
}
