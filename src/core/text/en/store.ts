import type { Format } from '../format.ts';

type None = Record<string, never>;

/** Phrases of the store and the engine: the queue of files, what taking in came to, undo. */
export const store = {
  'store.file-changed': (a: { name: string }, _f: Format) =>
    `${a.name} changed while it was read. Wait until the program that writes it is done, then read it again.`,
  'store.file-gone': (a: { name: string }, _f: Format) =>
    `${a.name} cannot be found any more. Choose the file again; nothing of it was stored.`,
  'store.not-a-file': (a: { name: string }, _f: Format) => `${a.name} is a folder, not a file. Choose the files in it.`,
  'store.not-a-plain-file': (a: { name: string }, _f: Format) =>
    `${a.name} is a device or a pipe, not a file. Save its text as a file and choose that.`,
  'store.queue.interrupted': (_: None, _f: Format) =>
    'The program ended while this file was read. Read it again or drop it.',
  'store.queue.same': (a: { source: number; name: string }, f: Format) =>
    `The same bytes as file ${f.number(a.source)}, ${a.name}: nothing in it is new`,
  'store.finding.same': (a: { source: number; name: string; withdrawn: boolean }, f: Format) =>
    `These are the same bytes as file ${f.number(a.source)}, ${a.name}. ${
      a.withdrawn ? 'That file is withdrawn; taking it in puts it back.' : 'There is nothing to take in.'
    }`,
  'store.would-take-in': (a: { accepted: number; alreadyHeld: number }, f: Format) =>
    `${count(f, a.accepted, 'reading', 'readings')} would be taken in${
      a.alreadyHeld > 0 ? `, ${f.number(a.alreadyHeld)} are held already` : ''
    }. Nothing was stored.`,
  'store.overlap.no-time': (a: { tool: string; held: number; rows: number; same: number }, f: Format) =>
    `${a.tool} writes no time. ${f.number(a.same)} of its ${f.number(a.rows)} readings in this file look like ones among the ${f.number(
      a.held,
    )} held, too few in a row to be sure. Is this the same memory, read out again?`,
  'store.overlap.unit-changed': (a: { tool: string; held: number; rows: number; same: number }, f: Format) =>
    `At ${f.number(a.same)} times of ${a.tool} a reading is held in another unit, always in the ratio of the units. Is this the same memory, read out after its unit was changed?`,
  'store.overlap.minute-edge': (a: { tool: string; held: number; rows: number; same: number }, f: Format) =>
    `${a.tool} writes times to the minute. This file and what is held meet in one minute, in which ${f.number(
      a.same,
    )} ${a.same === 1 ? 'reading looks' : 'readings look'} alike. Are they the same readings?`,
  'store.overlap.same': (_: None, _f: Format) => 'The same memory: count them once',
  'store.overlap.new': (_: None, _f: Format) => 'New readings: take them all in',
  'store.overlap.evidence-same': (a: { same: number; rows: number }, f: Format) =>
    `${f.number(a.same)} of ${f.number(a.rows)} would be held already`,
  'store.overlap.evidence-new': (a: { rows: number }, f: Format) => `all ${f.number(a.rows)} would be new`,
  'store.notice.unknown-name': (a: { kind: string; names: readonly string[]; more: number }, f: Format) =>
    `Not in the register: ${a.kind} ${a.names.join(', ')}${a.more > 0 ? ` and ${f.number(a.more)} more` : ''}. Added as unconfirmed.`,
  'store.notice.unknown-names': (
    a: { lists: readonly { kind: string; names: readonly string[]; more: number }[] },
    f: Format,
  ) =>
    `Not in the register: ${a.lists
      .map(({ kind, names, more }) => `${kind} ${names.join(', ')}${more > 0 ? ` and ${f.number(more)} more` : ''}`)
      .join('; ')}. Added as unconfirmed.`,
  'store.notice.memory-full': (a: { tool: string; readings: number }, f: Format) =>
    `${a.tool} stores ${f.number(a.readings)} readings, and this file holds as many or more: its memory was full. Later readings may be missing, or earlier ones overwritten.`,
  'store.rejected': (a: { line: number; reason: string; column: string | null; text: string | null }, f: Format) => {
    const what = a.text === null ? 'what stands there' : `"${a.text}"`;
    const where = `Line ${f.number(a.line)}${a.column === null ? '' : `, column ${a.column}`}`;
    switch (a.reason) {
      case 'bad-torque':
        return `${where}: ${what} is not a torque.`;
      case 'bad-angle':
        return `${where}: ${what} is not an angle.`;
      case 'bad-unit':
        return `${where}: ${what} is not a unit of torque.`;
      case 'bad-date':
        return `${where}: ${what} is not a date.`;
      case 'bad-time':
        return `${where}: ${what} is not a time of day.`;
      case 'no-torque':
        return `${where}: neither a torque nor an angle.`;
      case 'too-few-fields':
        return `${where}: fewer fields than the table has columns.`;
      case 'too-many-fields':
        return `${where}: more fields than the table has columns.`;
      case 'open-quote':
        return `${where}: a quotation mark is opened and never closed.`;
      default:
        return `${where}: the bytes of this line are no text.`;
    }
  },
  'store.undo.nothing': (_: None, _f: Format) => 'nothing was changed since this window was opened.',
  'store.recipe.summary': (
    a: { columns: number; unit: string | null; order: string | null; mark: string | null },
    f: Format,
  ) =>
    [
      `${f.number(a.columns)} columns`,
      a.unit === null ? null : `torque in ${a.unit}`,
      a.order === null ? null : `dates ${a.order}`,
      a.mark === null ? null : `decimal ${a.mark}`,
    ]
      .filter((part) => part !== null)
      .join(', '),
};

function count(f: Format, n: number, one: string, many: string): string {
  return `${f.number(n)} ${n === 1 ? one : many}`;
}
