import { csvRecord, csvRecords } from '../text/csv.ts';
import { type Said, said } from '../text/said.ts';
import type { RegisterFile } from './register-file.ts';

/**
 * The register as tables: one CSV a list, its columns named as the keys of the JSON file. Limits are rows of the joints'
 * table (one a revision), events and adapters are tables of their own that name the tool.
 */
export const registerTables = {
  joints: [
    'name',
    'class',
    'direction',
    'stopsBy',
    'station',
    'note',
    'from',
    'unit',
    'low',
    'target',
    'high',
    'lowPercent',
    'highPercent',
    'angleLow',
    'angleTarget',
    'angleHigh',
    'batchSize',
    'retryWithinSeconds',
    'by',
    'why',
  ],
  tools: [
    'serial',
    'unit',
    'min',
    'max',
    'permissibleDeviationPercent',
    'storageCapacity',
    'calibratedOn',
    'intervalMonths',
    'intervalCycles',
    'checkEveryDays',
    'lengthMm',
    'status',
  ],
  events: ['tool', 'at', 'kind', 'note'],
  adapters: ['tool', 'from', 'to', 'lengthMm', 'offsetMm', 'angleDeg'],
  operators: ['badge', 'name'],
  shifts: ['name', 'start', 'end', 'weekdays', 'breaks'],
  checks: ['tool', 'at', 'nominal', 'reference', 'reading', 'unit', 'kind', 'uncertaintyPercent'],
} as const;

export type RegisterTable = keyof typeof registerTables;
/** In the order in which they can be read back: tools before what names them. */
export const registerTableNames: readonly RegisterTable[] = [
  'joints',
  'tools',
  'events',
  'adapters',
  'operators',
  'shifts',
  'checks',
];

/** Columns that tell the tables apart, most telling first, and what no row can do without. */
const telling: readonly { table: RegisterTable; needs: readonly string[] }[] = [
  { table: 'checks', needs: ['tool', 'nominal', 'reference', 'reading'] },
  { table: 'adapters', needs: ['tool', 'offsetMm'] },
  { table: 'events', needs: ['tool', 'at', 'kind'] },
  { table: 'operators', needs: ['badge'] },
  { table: 'tools', needs: ['serial'] },
  { table: 'shifts', needs: ['name', 'start', 'end'] },
  { table: 'joints', needs: ['name'] },
];

/** Columns whose cells are numbers; all others are texts. */
const numbers = new Set<string>([
  'low',
  'target',
  'high',
  'lowPercent',
  'highPercent',
  'angleLow',
  'angleTarget',
  'angleHigh',
  'batchSize',
  'retryWithinSeconds',
  'min',
  'max',
  'permissibleDeviationPercent',
  'storageCapacity',
  'intervalMonths',
  'intervalCycles',
  'checkEveryDays',
  'lengthMm',
  'offsetMm',
  'angleDeg',
  'nominal',
  'reference',
  'reading',
  'uncertaintyPercent',
]);
const ofJoint = new Set<string>(['name', 'class', 'direction', 'stopsBy', 'station', 'note']);

type Cells = Readonly<Record<string, string | number | null | undefined>>;

/** One table of a register file as CSV with a header row. */
export function registerCsv(file: RegisterFile, table: RegisterTable): string {
  const columns = registerTables[table];
  const rows = rowsOf(file, table).map((row) => csvRecord(columns.map((column) => row[column] ?? null)));
  return csvRecord(columns) + rows.join('');
}

function rowsOf(file: RegisterFile, table: RegisterTable): Cells[] {
  switch (table) {
    case 'joints':
      return (file.joints ?? []).flatMap((joint): Cells[] => {
        const { limits, ...own } = joint;
        // A joint without limits is a row all the same.
        return limits && limits.length > 0 ? limits.map((one) => ({ ...own, ...one })) : [own];
      });
    case 'events':
      return (file.tools ?? []).flatMap((tool) =>
        (tool.events ?? []).map((event) => ({ tool: tool.serial, ...event })),
      );
    case 'adapters':
      return (file.tools ?? []).flatMap((tool) => (tool.adapters ?? []).map((one) => ({ tool: tool.serial, ...one })));
    case 'tools':
      return (file.tools ?? []).map(({ events: _, adapters: __, ...own }) => own);
    case 'operators':
      return [...(file.operators ?? [])];
    case 'shifts':
      return (file.shifts ?? []).map((shift) => ({
        name: shift.name,
        start: shift.start,
        end: shift.end,
        weekdays: shift.weekdays?.join(' ') ?? null,
        breaks:
          shift.breaks?.map((one) => [`${one.start}-${one.end}`, one.name ?? ''].join(' ').trim()).join('; ') ?? null,
      }));
    case 'checks':
      return [...(file.checks ?? [])];
  }
}

/**
 * A register file from the CSV of one table; which table is told by its columns. An empty cell is an absent value, a number
 * has a decimal point. The file is parsed by the same schema as JSON afterwards, which says what else is wrong.
 */
export function registerFileFromCsv(text: string): { file: unknown; problems: [] } | { file: null; problems: Said[] } {
  return registerFileFromRecords(csvRecords(text));
}

/** As `registerFileFromCsv`, from records that somebody else has cut: the head first, no empty ones. */
export function registerFileFromRecords(
  all: readonly (readonly string[])[],
): { file: unknown; problems: [] } | { file: null; problems: Said[] } {
  const [head, ...records] = all;
  const columns = (head ?? []).map((cell) => cell.trim());
  const table = telling.find((one) => one.needs.every((column) => columns.includes(column)))?.table;
  if (table === undefined) return { file: null, problems: [said('register.csv-unknown', { columns })] };
  const known: readonly string[] = registerTables[table];
  const strange = columns.filter((column) => column !== '' && !known.includes(column));
  if (strange.length > 0) {
    return { file: null, problems: [said('register.csv-columns', { table, columns: strange, known })] };
  }
  const problems: Said[] = [];
  const rows = records.map((record, k) => {
    const row: Record<string, string | number> = {};
    columns.forEach((column, c) => {
      const cell = (record[c] ?? '').trim();
      if (column === '' || cell === '') return;
      if (!numbers.has(column)) row[column] = cell;
      else if (/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(cell)) row[column] = Number(cell);
      else problems.push(said('register.csv-number', { row: k + 2, column, cell }));
    });
    return row;
  });
  return problems.length > 0 ? { file: null, problems } : { file: fileOf(table, rows), problems: [] };
}

function fileOf(table: RegisterTable, rows: readonly Record<string, string | number>[]): unknown {
  if (table === 'joints') {
    const joints = new Map<unknown, { own: Record<string, unknown>; limits: Record<string, unknown>[] }>();
    for (const row of rows) {
      const joint = joints.get(row.name) ?? { own: {}, limits: [] };
      const limits: Record<string, unknown> = {};
      for (const [key, value] of Object.entries(row)) (ofJoint.has(key) ? joint.own : limits)[key] = value;
      if (Object.keys(limits).length > 0) joint.limits.push(limits);
      joints.set(row.name, joint);
    }
    return { joints: [...joints.values()].map(({ own, limits }) => ({ ...own, limits })) };
  }
  if (table === 'events' || table === 'adapters') {
    const tools = new Map<unknown, Record<string, unknown>[]>();
    for (const { tool, ...row } of rows) tools.set(tool, [...(tools.get(tool) ?? []), row]);
    return { tools: [...tools].map(([serial, list]) => ({ serial, [table]: list })) };
  }
  if (table === 'shifts') return { shifts: rows.map(shiftOfRow) };
  return { [table]: rows };
}

/** "Mon Tue Wed" and "10:00-10:20 coffee; 12:00-12:30": lists in a cell. What cannot be told is left for the schema to refuse. */
function shiftOfRow(row: Readonly<Record<string, string | number>>): Record<string, unknown> {
  const { weekdays, breaks, ...own } = row;
  return {
    ...own,
    ...(weekdays === undefined
      ? {}
      : {
          weekdays: String(weekdays)
            .split(/[\s,;]+/)
            .filter((day) => day !== ''),
        }),
    ...(breaks === undefined
      ? {}
      : {
          breaks: String(breaks)
            .split(';')
            .map((one) => one.trim())
            .filter((one) => one !== '')
            .map((one) => {
              const [, start, end, name] = /^([\d:]+)\s*-\s*([\d:]+)\s*(.*)$/.exec(one) ?? [];
              return start === undefined ? { start: one } : { start, end, name: name === '' ? null : name };
            }),
        }),
  };
}
