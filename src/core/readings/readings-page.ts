import type { MadeFile, ReadingsFilter, Request } from '../contract/calls.ts';
import type { ReadingsPage } from '../contract/models/readings-model.ts';
import { failReasons } from '../judging/judged.ts';
import { fastenerChains } from '../review/chains.ts';
import { csvRecord } from '../text/csv.ts';
import { type Said, said } from '../text/said.ts';
import { utf8 } from '../text/utf8.ts';
import { msPerDay } from '../time/civil-time.ts';
import { columnPictures } from './column-pictures.ts';
import { type FailedFilters, failedFilters, namesOf, numberColumn } from './filter-readings.ts';
import { type Plant, readingName } from './plant.ts';
import {
  fastenerName,
  judgedUnitOf,
  operatorLabel,
  ownName,
  present,
  readingRow,
  sourceOf,
  unitOf,
  verdictName,
} from './reading-row.ts';
import { timeText } from './readings-answer.ts';
import { selectReadings } from './select-readings.ts';
import { sortPositions } from './sort-positions.ts';

export { readingDetail } from './reading-detail.ts';
export { readingsAnswer } from './readings-answer.ts';

type PageRequest = Request<'readings:page'>;

interface Filtered {
  readonly key: string;
  readonly selection: Uint32Array;
  /** Null: no filters. */
  readonly failed: FailedFilters | null;
  /** Passing all filters, in the order asked for. */
  readonly rows: Uint32Array;
}

/** Results of the last questions, so that scrolling through a page costs nothing. */
const held = new WeakMap<Plant, Filtered[]>();

/** A page of the Readings table: rows, the filters in words, and on request the pictures over the columns. */
export function readingsPage(plant: Plant, request: PageRequest): ReadingsPage {
  const { selection, failed, rows } = filtered(plant, request);
  const filterWords = request.filters.map((filter) => filterSaid(plant, filter));
  return {
    total: rows.length,
    inScope: selection.length,
    held: readingsInForce(plant),
    offset: request.offset,
    rows: Array.from(rows.subarray(request.offset, request.offset + request.limit), (i) => readingRow(plant, i)),
    sentence: said('readings.sentence', { filters: filterWords, total: rows.length, of: selection.length }),
    filterWords,
    pictures: request.withPictures ? columnPictures(plant, selection, failed, request.filters) : null,
    empty: rows.length > 0 ? null : emptyOf(failed, filterWords),
  };
}

function filtered(plant: Plant, request: Pick<PageRequest, 'scope' | 'filters' | 'sort'>): Filtered {
  const key = JSON.stringify([request.scope, request.filters, request.sort]);
  const results = held.get(plant) ?? [];
  held.set(plant, results);
  const found = results.find((result) => result.key === key);
  if (found) return found;
  const selection = selectReadings(plant, request.scope);
  const failed = failedFilters(plant, selection, request.filters);
  let rows = selection;
  if (failed !== null) {
    const kept = new Uint32Array(selection.length);
    let n = 0;
    for (let k = 0; k < selection.length; k++) if (failed[k] === 0) kept[n++] = selection[k]!;
    rows = kept.slice(0, n);
  }
  // The second key first: sorting is stable.
  for (const sort of [...request.sort].reverse()) {
    rows = sortPositions(rows, sortKey(plant, sort.column), sort.descending);
  }
  const result = { key, selection, failed, rows };
  results.unshift(result);
  if (results.length > 3) results.pop();
  return result;
}

/** A number by which a column sorts; names by their rank. */
function sortKey(plant: Plant, column: PageRequest['sort'][number]['column']): (i: number) => number {
  const { readings, judged } = plant;
  switch (column) {
    case 'at':
    case 'torque':
    case 'torquePlace':
    case 'angle':
    case 'anglePlace':
    case 'attempt':
      return numberColumn(plant, column);
    case 'joint':
    case 'tool':
    case 'operator': {
      const rank = ranksOf(namesOf(plant, column));
      const positions = readings[column];
      return (i) => rank[positions[i]!] ?? Number.NaN;
    }
    case 'source': {
      const rank = ranksOf(plant.sources.map((source) => source.name));
      const byId = new Map(plant.sources.map((source, k) => [source.id, rank[k] ?? 0]));
      // File first, then line: lines stay below 2^31.
      return (i) => (byId.get(readings.source[i]!) ?? 0) * 2 ** 31 + readings.line[i]!;
    }
    case 'fastener': {
      const fasteners = ranksOf(plant.names.fasteners);
      const batches = ranksOf(plant.names.batches);
      return (i) =>
        readings.fastener[i]! >= 0
          ? (fasteners[readings.fastener[i]!] ?? Number.NaN)
          : readings.batch[i]! >= 0
            ? plant.names.fasteners.length +
              (batches[readings.batch[i]!] ?? 0) +
              Math.min(1023, Math.max(0, readings.batchPosition[i]!)) / 1024
            : Number.NaN;
    }
    case 'ownResult':
      return (i) => (readings.own[i] === 0 ? Number.NaN : readings.own[i]!);
    case 'verdict':
      // Failing ones first, by their reasons; then unjudged; then those inside.
      return (i) => (judged.verdict[i] === 2 ? judged.reasons[i]! : judged.verdict[i] === 0 ? 100 : 200);
  }
}

function ranksOf(names: readonly string[]): Float64Array {
  const order = names.map((_, k) => k).sort((a, b) => (names[a]! < names[b]! ? -1 : names[a]! > names[b]! ? 1 : 0));
  const rank = new Float64Array(names.length);
  order.forEach((position, k) => {
    rank[position] = k;
  });
  return rank;
}

const inForceCounts = new WeakMap<Plant, number>();

function readingsInForce(plant: Plant): number {
  let count = inForceCounts.get(plant);
  if (count === undefined) {
    count = 0;
    for (let i = 0; i < plant.readings.length; i++) count += plant.readings.inForce[i]!;
    inForceCounts.set(plant, count);
  }
  return count;
}

function emptyOf(failed: FailedFilters | null, words: readonly Said[]): ReadingsPage['empty'] {
  const without = words.map((filter, f) => {
    const others = ~((1 << f) >>> 0);
    let count = 0;
    if (failed) for (const bits of failed) if ((bits & others) === 0) count++;
    return { filter: f, count, said: said('readings.without', { filter, count }) };
  });
  return {
    said: said('readings.empty', { filters: words.length }),
    without: without.filter((one) => one.count > 0),
  };
}

/** The words of a filter's chip. */
export function filterSaid(plant: Plant, filter: ReadingsFilter): Said {
  switch (filter.column) {
    case 'verdict':
      return said('readings.filter-verdict', { names: filter.anyOf });
    case 'ownResult':
      return said('readings.filter-own', { names: filter.anyOf });
    case 'text':
      return said('readings.filter-text', { text: filter.contains });
    case 'notice':
      return said('readings.filter-notice', { kinds: filter.anyOf });
    case 'reading':
      return said('readings.filter-reading', { names: filter.anyOf });
    case 'at':
      return said('readings.filter-time', {
        from: filter.from,
        to: filter.to,
        sameDay:
          filter.from !== null &&
          filter.to !== null &&
          Math.floor(filter.from / msPerDay) === Math.floor((filter.to - 1) / msPerDay),
      });
    case 'operator': {
      const labels = new Map(
        plant.register.operators.map((one, o) => [one.badge, operatorLabel(plant, o) ?? one.badge]),
      );
      return said('readings.filter-names', {
        column: filter.column,
        names: filter.anyOf.map((badge) => labels.get(badge) ?? badge),
      });
    }
    case 'joint':
    case 'tool':
    case 'source':
    case 'fastener':
      return said('readings.filter-names', { column: filter.column, names: filter.anyOf });
    default:
      return said('readings.filter-range', { column: filter.column, from: filter.from, to: filter.to });
  }
}

const csvHead = [
  'reading',
  'time',
  'joint',
  'fastener',
  'tool',
  'operator',
  'torque',
  'unit',
  'torque judged',
  'unit judged',
  'torque place',
  'angle deg',
  'angle place',
  'verdict',
  'reasons',
  "tool's verdict",
  'try',
  'left out',
  'note',
  'file',
  'line',
];

/** The filtered readings as RFC 4180 text in UTF-8, one header row, in time order; every number unrounded. */
export function readingsCsv(plant: Plant, request: Request<'readings:csv'>): MadeFile {
  const { rows } = filtered(plant, { ...request, sort: [] });
  const { readings, register, judged } = plant;
  const { attempt } = fastenerChains(plant);
  const pieces: Uint8Array[] = [];
  let text = csvRecord(csvHead);
  let size = 0;
  const flush = (): void => {
    const bytes = utf8(text);
    pieces.push(bytes);
    size += bytes.length;
    text = '';
  };
  for (let k = 0; k < rows.length; k++) {
    const i = rows[k]!;
    text += csvRecord([
      readingName(readings, i),
      timeText(plant, i),
      register.joints[readings.joint[i]!]?.name ?? null,
      fastenerName(plant, i),
      register.tools[readings.tool[i]!]?.serial ?? null,
      register.operators[readings.operator[i]!]?.badge ?? null,
      present(readings.torque[i]!),
      unitOf(plant, i),
      present(judged.torque[i]!),
      judgedUnitOf(plant, i),
      rounded(judged.torquePlace[i]!),
      present(readings.angle[i]!),
      rounded(judged.anglePlace[i]!),
      verdictName(judged.verdict[i]!),
      failReasons(judged.reasons[i]!).join(' '),
      ownName(readings.own[i]!),
      attempt[i] === 0 ? null : attempt[i]!,
      plant.leftOut.get(i)?.reason ?? null,
      plant.notes.get(i)?.at(-1)?.text ?? null,
      sourceOf(plant, i),
      readings.line[i]!,
    ]);
    if (text.length > 1 << 20) flush();
  }
  flush();
  const bytes = new Uint8Array(size);
  let at = 0;
  for (const piece of pieces) {
    bytes.set(piece, at);
    at += piece.length;
  }
  return { name: 'readings.csv', mime: 'text/csv;charset=utf-8', bytes };
}

/** Places are held as single floats: print the digits they have. */
function rounded(place: number): number | null {
  return Number.isNaN(place) ? null : Number(place.toPrecision(6));
}
