/** Reads a file's table as found, streaming: decoding, dialect, header, records, and no meaning. */
import type { Problem } from '#core/contract/problems.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { type Encoding, encodingNames, findEncoding } from '#core/intake/encoding.ts';
import { sampleOf } from '#core/intake/sample-of.ts';
import { delimiterName, type FoundRecord, RowSorter, tableAsFound } from '#core/intake/table-as-found.ts';
import { Tokeniser } from '#core/intake/tokeniser.ts';
import { said, say } from '#core/text/said.ts';
import { StreamDecoder } from './decode-stream.ts';
import type { DumpInput } from './read-dump.ts';

export interface RowsSink {
  /** Once, before the first row. */
  start(header: readonly string[] | null): void | Promise<void>;
  row(cells: readonly string[]): void | Promise<void>;
}

export interface RowsReading {
  readonly problem: Problem | null;
  readonly encoding: string;
  readonly delimiter: string;
  readonly header: readonly string[] | null;
  readonly rows: number;
  /** Physical lines left out, by part; the first 100 of each. */
  readonly leftOut: Readonly<Record<'preamble' | 'footer' | 'second-table' | 'header', readonly number[]>>;
}

const headCharacters = 1 << 16;

/**
 * Reads the table; every cell of every row goes to the sink as it stands in the file.
 *
 * @throws ProblemError `cancelled` when the signal is aborted
 */
export async function readRows(input: DumpInput, sink: RowsSink, signal?: AbortSignal): Promise<RowsReading> {
  return onePass(input, sink, await decodingOf(input, signal), signal);
}

/** Rows may be written out as they come and cannot be taken back: so the encoding is settled over the whole file first. */
async function decodingOf(input: DumpInput, signal: AbortSignal | undefined): Promise<Encoding | null> {
  let decoder: StreamDecoder | null = null;
  const head: Uint8Array[] = [];
  let headBytes = 0;
  for await (const piece of input.open()) {
    if (signal?.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
    if (!decoder) {
      head.push(piece);
      headBytes += piece.length;
      if (headBytes < 16) continue;
      const found = findEncoding(Buffer.concat(head));
      if (!found.ok || found.proven) return null;
      decoder = new StreamDecoder(found.encoding, 0);
      decoder.decode(Buffer.concat(head));
    } else decoder.decode(piece);
    if (decoder.sawUndecodable) return decoder.sawMultiByte ? null : 'windows-1252';
  }
  return null;
}

async function onePass(
  input: DumpInput,
  sink: RowsSink,
  forced: Encoding | null,
  signal: AbortSignal | undefined,
): Promise<RowsReading> {
  const stream = input.open()[Symbol.asyncIterator]();
  try {
    const pieces: Uint8Array[] = [];
    let bytes = 0;
    let ended = false;
    while (bytes < 4 * headCharacters && !ended) {
      const next = await stream.next();
      if (next.done) ended = true;
      else {
        pieces.push(next.value);
        bytes += next.value.length;
      }
    }
    const head = Buffer.concat(pieces);
    const found = findEncoding(head.subarray(0, 1 << 18));
    if (!found.ok) return refused({ kind: 'refused-input', said: found.said, message: say(found.said) });
    const encoding = forced ?? found.encoding;
    const decoder = new StreamDecoder(encoding, forced ? 0 : found.bomBytes);
    let text = decoder.decode(head);
    if (ended) text += decoder.end();
    if (text.trim() === '') {
      const sentence = said('intake.refused-empty', {});
      return refused({ kind: 'refused-input', said: sentence, message: say(sentence) });
    }
    const sample = sampleOf(text, headCharacters);
    const whole = ended && sample.length === text.length;
    const start = tableAsFound(sample, whole);
    const tokeniser = new Tokeniser(start.dialect);
    tokeniser.expected = start.width;
    const sorter = new RowSorter(start);
    const leftOut = {
      preamble: [] as number[],
      footer: [] as number[],
      'second-table': [] as number[],
      header: [] as number[],
    };
    let rows = 0;
    await sink.start(start.header);
    const give = async (records: readonly FoundRecord[]): Promise<void> => {
      for (const record of records) {
        if (record.part === 'row') {
          rows++;
          await sink.row(record.cells);
        } else if (record.part !== 'blank') {
          const list = leftOut[record.part];
          if (list.length < 100) list.push(record.line);
        }
      }
    };
    for (;;) {
      tokeniser.push(text);
      if (ended) tokeniser.end();
      while (tokeniser.next()) await give(sorter.take(tokeniser.cells(), tokeniser.line));
      if (ended) break;
      if (signal?.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
      const next = await stream.next();
      if (next.done) {
        ended = true;
        text = decoder.end();
      } else text = decoder.decode(next.value);
    }
    await give(sorter.end());
    return {
      problem: null,
      encoding: encodingNames[encoding],
      delimiter: delimiterName(start.dialect),
      header: start.header,
      rows,
      leftOut,
    };
  } finally {
    await stream.return?.(undefined);
  }
}

function refused(problem: Problem): RowsReading {
  return {
    problem,
    encoding: '',
    delimiter: '',
    header: null,
    rows: 0,
    leftOut: { preamble: [], footer: [], 'second-table': [], header: [] },
  };
}
