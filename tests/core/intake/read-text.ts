/** Reads a text through the whole reader and gives back rows as plain objects, for the tests of intake. */
import type { DumpReading, RejectedRow } from '../../../src/core/intake/dump-reading.ts';
import { noUnit } from '../../../src/core/intake/row-batch.ts';
import { timeStepsMs } from '../../../src/core/readings/columns.ts';
import { civilText } from '../../../src/core/time/civil-time.ts';
import { type TorqueUnit, torqueUnitCodes } from '../../../src/core/units/torque-unit.ts';
import { type DumpOptions, readDump } from '../../../src/main/reader/read-dump.ts';

export interface Row {
  readonly at: string | null;
  readonly torque: number | null;
  readonly decimals: number;
  readonly unit: TorqueUnit | null;
  readonly angle: number | null;
  readonly own: 'good' | 'bad' | null;
  readonly sequence: number | null;
  readonly tool: string | null;
  readonly operator: string | null;
  readonly joint: string | null;
  readonly fastener: string | null;
  readonly batch: string | null;
  readonly position: number | null;
  readonly size: number | null;
  readonly target: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly note: string | null;
  readonly station: string | null;
  readonly line: number;
  readonly lines: number;
}

export interface ReadResult {
  readonly reading: DumpReading;
  readonly rows: readonly Row[];
  readonly rejected: readonly RejectedRow[];
  /** Times the pass started. */
  readonly passes: number;
}

/** 26 November 2026: "today" of these tests. */
export const today = Date.UTC(2026, 10, 26);

export interface ReadOptions extends Partial<DumpOptions> {
  readonly name?: string;
  /** Bytes per piece of the stream; absent: all at once. */
  readonly pieceBytes?: number;
}

export async function readText(content: string | Uint8Array, options: ReadOptions = {}): Promise<ReadResult> {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const rows: Row[] = [];
  const rejected: RejectedRow[] = [];
  let passes = 0;
  const piece = options.pieceBytes ?? Math.max(1, bytes.length);
  const reading = await readDump(
    {
      name: options.name ?? 'dump.csv',
      bytes: bytes.length,
      async *open() {
        for (let at = 0; at < bytes.length; at += piece) yield bytes.subarray(at, at + piece);
      },
    },
    {
      start: () => {
        passes++;
        rows.length = 0;
        rejected.length = 0;
      },
      rows: (batch, names) => {
        const name = (list: readonly string[], index: number): string | null =>
          index < 0 ? null : (list[index] ?? '?');
        const number = (value: number): number | null => (Number.isNaN(value) ? null : value);
        for (let i = 0; i < batch.length; i++) {
          const at = number(batch.at[i]!);
          const own = batch.own[i]!;
          rows.push({
            at: at === null ? null : civilText(at, timeStepsMs[batch.atStep[i] as 1]),
            torque: number(batch.torque[i]!),
            decimals: batch.decimals[i]!,
            unit: batch.unit[i] === noUnit ? null : torqueUnitCodes[batch.unit[i]!]!,
            angle: number(batch.angle[i]!),
            own: own === 0 ? null : own === 1 ? 'good' : 'bad',
            sequence: number(batch.sequence[i]!),
            tool: name(names.tool, batch.tool[i]!),
            operator: name(names.operator, batch.operator[i]!),
            joint: name(names.joint, batch.joint[i]!),
            fastener: name(names.fastener, batch.fastener[i]!),
            batch: name(names.batch, batch.batch[i]!),
            position: batch.batchPosition[i]! < 0 ? null : batch.batchPosition[i]!,
            size: batch.batchSize[i]! < 0 ? null : batch.batchSize[i]!,
            target: number(batch.target[i]!),
            low: number(batch.low[i]!),
            high: number(batch.high[i]!),
            note: name(names.note, batch.note[i]!),
            station: name(names.station, batch.station[i]!),
            line: batch.line[i]!,
            lines: batch.lines[i]!,
          });
        }
      },
      rejected: (list) => {
        rejected.push(...list);
      },
    },
    {
      answers: {},
      set: {},
      recipeFor: () => null,
      known: { tools: [], operators: [], joints: [] },
      now: today,
      ...options,
    },
  );
  return { reading, rows, rejected, passes };
}

/** Physical lines of a text as the accounting counts them: CRLF, LF or CR ends one, an ending at the end starts none. */
export function physicalLines(text: string): number {
  const ends = text.match(/\r\n|\r|\n/g)?.length ?? 0;
  return ends + (text.length > 0 && !/[\r\n]$/.test(text) ? 1 : 0);
}

/** The accounting identity of the brief. */
export function addsUp(reading: DumpReading): boolean {
  return reading.lineTotal === reading.headerLines + reading.blankLines + reading.acceptedLines + reading.rejectedLines;
}
