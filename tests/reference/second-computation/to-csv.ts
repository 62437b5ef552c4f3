/**
 * Turns what the command line exports into the flat files that the second computation reads.
 *
 * Run: node tests/reference/second-computation/to-csv.ts readings.json register.json FOLDER
 * with readings.json from `readings --json` and register.json from `register --export`.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

export interface ExportedReading {
  readonly id: string;
  readonly at: string | null;
  readonly tool: string | null;
  readonly operator: string | null;
  readonly joint: string | null;
  readonly torqueAsRecorded: number | null;
  readonly unit: string;
  readonly angle: number | null;
  readonly attempt: number | null;
  readonly excluded: string | null;
}

export interface ExportedRegister {
  readonly joints: readonly {
    readonly name: string;
    readonly class: string | null;
    readonly limits: readonly {
      readonly from: string;
      readonly unit: string;
      readonly low: number | null;
      readonly target: number | null;
      readonly high: number | null;
    }[];
  }[];
  readonly tools: readonly {
    readonly serial: string;
    readonly permissibleDeviationPercent: number | null;
    readonly calibratedOn: string | null;
    readonly events?: readonly { readonly at: string }[] | null;
  }[];
  readonly shifts: readonly { readonly name: string; readonly start: string; readonly end: string }[];
}

type Cell = string | number | null | undefined;
const csv = (head: readonly string[], rows: readonly (readonly Cell[])[]): string =>
  [head, ...rows]
    .map((row) => row.map((cell) => (cell === null || cell === undefined ? '' : quoted(String(cell)))).join(','))
    .join('\n')
    .concat('\n');
const quoted = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** The readings with a joint, in the order in which the program gives them. */
export function readingsCsv(readings: readonly ExportedReading[]): string {
  return csv(
    ['id', 'at', 'tool', 'operator', 'joint', 'torque', 'unit', 'angle', 'attempt', 'excluded'],
    readings
      .filter((one) => one.joint !== null)
      .map((one) => [
        one.id,
        one.at,
        one.tool,
        one.operator,
        one.joint,
        one.torqueAsRecorded,
        one.unit,
        one.angle,
        one.attempt,
        one.excluded === null ? 0 : 1,
      ]),
  );
}

/** Every limit revision, tool event and shift as rows. */
export function registerCsv(register: ExportedRegister): {
  limits: string;
  tools: string;
  events: string;
  shifts: string;
} {
  return {
    limits: csv(
      ['joint', 'class', 'from', 'unit', 'low', 'target', 'high'],
      register.joints.flatMap((joint) =>
        joint.limits.map((one) => [joint.name, joint.class, one.from, one.unit, one.low, one.target, one.high]),
      ),
    ),
    tools: csv(
      ['serial', 'permissible'],
      register.tools.map((tool) => [tool.serial, tool.permissibleDeviationPercent]),
    ),
    events: csv(
      ['serial', 'at'],
      register.tools.flatMap((tool) =>
        [
          ...new Set([
            ...(tool.events ?? []).map((event) => event.at),
            ...(tool.calibratedOn ? [tool.calibratedOn] : []),
          ]),
        ].map((at) => [tool.serial, at]),
      ),
    ),
    shifts: csv(
      ['name', 'start', 'end'],
      register.shifts.map((shift) => [shift.name, shift.start, shift.end]),
    ),
  };
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const [readingsFile = '', registerFile = '', folder = ''] = process.argv.slice(2);
  // The two documents are those of the command line contract.
  const { readings } = JSON.parse(readFileSync(readingsFile, 'utf8')) as { readings: ExportedReading[] };
  const register = JSON.parse(readFileSync(registerFile, 'utf8')) as ExportedRegister;
  const files = registerCsv(register);
  writeFileSync(path.join(folder, 'readings.csv'), readingsCsv(readings));
  for (const [name, text] of Object.entries(files)) writeFileSync(path.join(folder, `${name}.csv`), text);
}
