/** `rows FILE...`: the table as found, before any meaning is given to it; needs no store and asks nothing. */
import { createReadStream, createWriteStream } from 'node:fs';
import { mkdir, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import type { Writable } from 'node:stream';
import { csvRecord } from '#core/intake/csv-record.ts';
import { problemOf } from '../../client/problem-of.ts';
import { type RowsReading, readRows } from '../../reader/read-rows.ts';
import { commonOptions, parseVerb } from '../scope-options.ts';
import { printJson, type Verb, type VerbContext } from '../verb.ts';

export const run: Verb = async (args, context) => {
  const { values, positionals } = parseVerb(args, { ...commonOptions, out: { type: 'string' } }, [
    1,
    Number.POSITIVE_INFINITY,
  ]);
  const folder = values.out;
  if (folder !== undefined) await mkdir(folder, { recursive: true });
  const found: { file: string; reading: RowsReading | null; problem: { kind: string; message: string } | null }[] = [];
  for (const file of positionals) {
    try {
      const reading = await oneFile(
        file,
        folder === undefined ? null : path.join(folder, path.basename(file)),
        values.json,
      );
      found.push({
        file,
        reading,
        problem: reading.problem ? { kind: reading.problem.kind, message: reading.problem.message } : null,
      });
    } catch (thrown) {
      const { kind, message } = problemOf(thrown);
      if (kind === 'fault' || kind === 'disk-full') throw thrown;
      found.push({ file, reading: null, problem: { kind, message } });
    }
    tell(found.at(-1), context);
  }
  if (values.json) {
    printJson(context, {
      files: found.map(({ file, reading, problem }) => ({
        file,
        problem,
        encoding: reading?.encoding ?? null,
        delimiter: reading?.delimiter ?? null,
        header: reading?.header ?? null,
        rows: reading?.rows ?? 0,
        leftOut: reading?.leftOut ?? null,
      })),
    });
  }
  return found.some((entry) => entry.problem) ? 3 : 0;
};

/** Writes one table. With --json and no folder the table itself is not written: standard output holds one document. */
async function oneFile(file: string, target: string | null, json: boolean): Promise<RowsReading> {
  const { size } = await stat(file);
  const input = {
    name: path.basename(file),
    bytes: size,
    open: () => createReadStream(file, { highWaterMark: 256 * 1024 }),
  };
  if (target === null) {
    const out = json ? null : new Sheet(process.stdout);
    const reading = await readRows(input, sinkOf(out));
    await out?.flush();
    return reading;
  }
  // Beside the target and renamed: a reader sees the whole table or none.
  const partial = `${target}.part`;
  const stream = createWriteStream(partial);
  try {
    const out = new Sheet(stream);
    const reading = await readRows(input, sinkOf(out));
    await out.flush();
    await new Promise<void>((done, failed) => stream.end((error?: Error | null) => (error ? failed(error) : done())));
    if (reading.problem) await rm(partial, { force: true });
    else await rename(partial, target);
    return reading;
  } catch (thrown) {
    stream.destroy();
    await rm(partial, { force: true });
    throw thrown;
  }
}

function sinkOf(out: Sheet | null) {
  return {
    start: async (header: readonly string[] | null) => {
      await out?.restart();
      if (header) await out?.write(header);
    },
    row: async (cells: readonly string[]) => out?.write(cells),
  };
}

/** Rows as CSV, gathered into large writes and held back while the reader of the output is slower. */
class Sheet {
  readonly #stream: Writable;
  #text = '';
  #written = false;

  constructor(stream: Writable) {
    this.#stream = stream;
  }

  /** The reader starts again when the encoding turned out to be another; nothing has been written then. */
  async restart(): Promise<void> {
    if (this.#written) throw new RangeError('the table was written already');
    this.#text = '';
  }

  async write(cells: readonly string[]): Promise<void> {
    this.#text += `${csvRecord(cells)}\r\n`;
    if (this.#text.length > 1 << 18) await this.flush();
  }

  async flush(): Promise<void> {
    const text = this.#text;
    this.#text = '';
    if (text === '') return;
    this.#written = true;
    if (!this.#stream.write(text)) await new Promise<void>((done) => this.#stream.once('drain', () => done()));
  }
}

function tell(
  entry: { file: string; reading: RowsReading | null; problem: { message: string } | null } | undefined,
  context: VerbContext,
): void {
  if (!entry) return;
  if (entry.problem) context.warn(`${entry.file}: ${entry.problem.message}`);
  for (const [part, lines] of Object.entries(entry.reading?.leftOut ?? {})) {
    if (part !== 'header' && lines.length > 0)
      context.warn(
        `${entry.file}: ${part.replace('-', ' ')} left out, ${lines.length === 1 ? 'line' : 'lines'} ${lines.join(', ')}`,
      );
  }
}
