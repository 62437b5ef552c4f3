/** A ticket's folder as the file that the store counts and takes in. */
import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { RejectedRow } from '#core/intake/dump-reading.ts';
import type { StoredRejected, TakeInFile } from '../store/store.ts';
import { readRowFile } from './row-file.ts';
import { type StagedReading, stagedFiles, ticketFolder } from './staging.ts';

export interface TakeInWords {
  readonly name: string;
  readonly who: string;
  readonly nowMs: number;
  readonly overlap: 'same' | 'new' | null;
  readonly answers: Readonly<Record<string, string>>;
  readonly notices: TakeInFile['notices'];
}

/** Rejected lines handed over at a time. */
const rejectsPerStep = 4096;

/** Makes what `Store.probe` and `Store.takeIn` ask for from what reading left. */
export function stagedFile(storePath: string, ticket: string, staged: StagedReading, words: TakeInWords): TakeInFile {
  const { reading } = staged;
  const folder = ticketFolder(storePath, ticket);
  const jointFrom = reading.recipe?.joint ?? null;
  return {
    name: words.name,
    sha256: staged.sha256,
    bytes: reading.bytes,
    // Checked by its schema when it was made; plain JSON.
    recipe: JSON.parse(JSON.stringify(reading.recipe)),
    facts: {
      newestFirst: reading.newestFirst,
      recipe: reading.recipe?.fingerprint ?? null,
      preamble: reading.facts,
      answers: words.answers,
      from: reading.from,
      to: reading.to,
      jointFromFile: jointFrom === null || jointFrom.from === 'preamble',
      sequenceIsDevice: reading.sequence === 'device',
    },
    lines: {
      total: reading.lineTotal,
      header: reading.headerLines,
      blank: reading.blankLines,
      accepted: reading.acceptedLines,
      alreadyHeld: 0,
      rejected: reading.rejectedLines,
    },
    who: words.who,
    nowMs: words.nowMs,
    names: staged.names,
    rowCount: staged.rows,
    span:
      reading.hasTimes === 'all' && reading.from !== null && reading.to !== null ? [reading.from, reading.to] : null,
    overlap: words.overlap,
    rows: () => readRowFile(join(folder, stagedFiles.rows)),
    pieces: () => readPieces(join(folder, stagedFiles.pieces), staged),
    rejected: () => readRejected(join(folder, stagedFiles.rejected)),
    notices: [
      ...reading.notices.map((notice) => ({
        key: notice.kind,
        args: JSON.stringify({ said: notice.said, count: notice.count }),
        lines: JSON.stringify(notice.lines),
      })),
      ...words.notices,
    ],
  };
}

async function* readPieces(path: string, staged: StagedReading) {
  const file = await open(path, 'r');
  try {
    for (const piece of staged.pieces) {
      const deflated = Buffer.alloc(piece.length);
      await file.read(deflated, 0, piece.length, piece.offset);
      yield { seq: piece.seq, firstLine: piece.firstLine, firstByte: piece.firstByte, deflated };
    }
  } finally {
    await file.close();
  }
}

async function* readRejected(path: string): AsyncGenerator<readonly StoredRejected[]> {
  let rows: StoredRejected[] = [];
  for await (const { line, lines, code, column } of rejectedRows(path)) {
    rows.push({ line, lines, code, column });
    if (rows.length === rejectsPerStep) {
      yield rows;
      rows = [];
    }
  }
  if (rows.length > 0) yield rows;
}

/** Rejected lines of a read file with their text, from the `offset`-th on, at most `limit`. */
export async function stagedRejects(
  storePath: string,
  ticket: string,
  offset: number,
  limit: number,
): Promise<RejectedRow[]> {
  const rows: RejectedRow[] = [];
  if (limit === 0) return rows;
  let at = 0;
  for await (const row of rejectedRows(join(ticketFolder(storePath, ticket), stagedFiles.rejected))) {
    if (at++ < offset) continue;
    rows.push(row);
    if (rows.length === limit) break;
  }
  return rows;
}

async function* rejectedRows(path: string): AsyncGenerator<RejectedRow> {
  for await (const written of createInterface({ input: createReadStream(path), crlfDelay: Number.POSITIVE_INFINITY })) {
    // Written by stage-dump.ts.
    const [line, lines, code, column, span, text] = JSON.parse(written) as [
      number,
      number,
      RejectedRow['code'],
      string | null,
      readonly [number, number] | null,
      string,
    ];
    yield { line, lines, code, column, span, text };
  }
}
