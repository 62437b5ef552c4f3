/** The least extra work that would tell tools, operators and joints apart (definitions 14). */

export interface NamedCell {
  readonly joint: string;
  readonly tool: string;
  readonly operator: string;
}
export type CellFactor = keyof NamedCell;

export interface Untangling {
  /** Dimension of the question that cannot be estimated now. */
  readonly part: number;
  /** New cells that together make all of it estimable; empty when nothing is tangled. */
  readonly cells: readonly NamedCell[];
  /** True: found one at a time, since no set of 3 does. */
  readonly greedy: boolean;
  /** How many least sets there are; null when greedy or not counted. */
  readonly ways: number | null;
}

const factors = ['joint', 'tool', 'operator'] as const;
/** A prime under 2^26: products of residues stay below 2^53. */
const prime = 67_108_859;
/** Beyond this many new cells the list stops: it is the start of a plan, not a plan. */
const mostSteps = 12;

/**
 * Finds the smallest set of new cells of known joints, tools and operators that makes all differences of the factors
 * asked for estimable; the most frequent joint is tried first.
 *
 * Method: the unestimable part is rank(design and question) - rank(design); ranks by exact elimination modulo a prime
 * (entries are 0, 1, -1). Each new cell takes away at most one dimension, so the search starts at that many cells; up to 3
 * by search over all sets, more by the same rule one at a time.
 *
 * @param cells distinct or repeated cells in hand
 * @param question factors whose differences are asked for
 * @param countWays false: stop at the first set found (what a screen needs); true: count all least sets
 * @param possible whether a tool can be used at a joint: nobody is sent with a tool outside its range, or out of use
 */
export function untangle(
  cells: readonly NamedCell[],
  question: readonly CellFactor[],
  countWays = false,
  possible: (joint: string, tool: string) => boolean = () => true,
): Untangling {
  const levels = new Map<CellFactor, string[]>(
    factors.map((factor) => [factor, [...new Set(cells.map((cell) => cell[factor]))].sort()]),
  );
  const columnOf = new Map<string, number>();
  for (const factor of factors) {
    for (const level of levels.get(factor) ?? []) columnOf.set(`${factor}|${level}`, columnOf.size + 1);
  }
  const columns = columnOf.size + 1;
  const code = (cell: NamedCell): Int32Array => {
    const row = new Int32Array(columns);
    row[0] = 1;
    for (const factor of factors) row[columnOf.get(`${factor}|${cell[factor]}`)!] = 1;
    return row;
  };
  const questions: Int32Array[] = [];
  for (const factor of question) {
    const names = levels.get(factor) ?? [];
    for (const name of names.slice(1)) {
      const row = new Int32Array(columns);
      row[columnOf.get(`${factor}|${names[0]}`)!] = 1;
      row[columnOf.get(`${factor}|${name}`)!] = prime - 1;
      questions.push(row);
    }
  }
  const design = new ModularBasis(columns);
  const seen = new Set<string>();
  for (const cell of cells) {
    const key = `${cell.joint}|${cell.tool}|${cell.operator}`;
    if (seen.has(key)) continue;
    seen.add(key);
    design.add(code(cell));
  }
  // Only what the question leaves after the design matters: work in that small space from here on.
  const asked = new ModularBasis(columns);
  for (const row of questions) {
    const left = design.reduce(row);
    asked.add(left);
  }
  const part = asked.rank;
  if (part === 0) return { part: 0, cells: [], greedy: false, ways: 1 };

  const frequency = new Map<string, number>();
  for (const cell of cells) {
    for (const factor of factors) {
      const key = `${factor}|${cell[factor]}`;
      frequency.set(key, (frequency.get(key) ?? 0) + 1);
    }
  }
  // Levels that can be compared already do the same work: one of each such set is enough, unless all ways are counted.
  const oftenFirst = (factor: CellFactor, names: readonly string[]): string[] =>
    [...names].sort((a, b) => (frequency.get(`${factor}|${b}`) ?? 0) - (frequency.get(`${factor}|${a}`) ?? 0));
  const tried = new Map<CellFactor, readonly (readonly string[])[]>(
    factors.map((factor) => {
      const all = levels.get(factor) ?? [];
      if (countWays) return [factor, all.map((level) => [level])];
      const byRest = new Map<string, string[]>();
      for (const level of all) {
        const unit = new Int32Array(columns);
        unit[columnOf.get(`${factor}|${level}`)!] = 1;
        const key = design.reduce(unit).join();
        const same = byRest.get(key);
        if (same) same.push(level);
        else byRest.set(key, [level]);
      }
      return [factor, [...byRest.values()].map((names) => oftenFirst(factor, names))];
    }),
  );
  // Of two sets the most frequent joint with a tool that can be used there.
  const pairOf = (joints: readonly string[], tools: readonly string[]): { joint: string; tool: string } | null => {
    for (const joint of joints) {
      const tool = tools.find((one) => possible(joint, one));
      if (tool !== undefined) return { joint, tool };
    }
    return null;
  };
  const candidates: { cell: NamedCell; row: Int32Array }[] = [];
  for (const joints of tried.get('joint') ?? []) {
    for (const tools of tried.get('tool') ?? []) {
      const pair = pairOf(joints, tools);
      if (pair === null) continue;
      for (const operators of tried.get('operator') ?? []) {
        // Nobody can be asked to be "not named".
        const operator = operators.find((one) => one !== '');
        if (operator === undefined) continue;
        const cell = { ...pair, operator };
        const row = design.reduce(code(cell));
        if (row.some((value) => value !== 0)) candidates.push({ cell, row });
      }
    }
  }
  candidates.sort(
    (a, b) =>
      (frequency.get(`joint|${b.cell.joint}`) ?? 0) - (frequency.get(`joint|${a.cell.joint}`) ?? 0) ||
      compare(a.cell.joint, b.cell.joint) ||
      compare(a.cell.tool, b.cell.tool) ||
      compare(a.cell.operator, b.cell.operator),
  );
  const left = (rows: readonly Int32Array[]): number => {
    const basis = new ModularBasis(columns);
    for (const row of rows) basis.add(row);
    const before = basis.rank;
    for (const row of asked.rows()) basis.add(row);
    return basis.rank - before;
  };
  for (let size = part; size <= 3; size++) {
    let ways = 0;
    let found: NamedCell[] | null = null;
    for (const set of combinations(candidates.length, size)) {
      if (left(set.map((index) => candidates[index]!.row)) !== 0) continue;
      ways++;
      found ??= set.map((index) => candidates[index]!.cell);
      if (!countWays) break;
    }
    if (found) return { part, cells: found, greedy: false, ways: countWays ? ways : null };
  }
  const added: { cell: NamedCell; row: Int32Array }[] = [];
  let open = part;
  while (open > 0 && added.length < mostSteps) {
    const next = candidates.find((one) => left([...added.map((each) => each.row), one.row]) < open);
    // Every question can be answered once every combination has been done, so there always is a next one.
    if (!next) break;
    added.push(next);
    open = left(added.map((each) => each.row));
  }
  return { part, cells: added.map((one) => one.cell), greedy: true, ways: null };
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function* combinations(n: number, size: number): Generator<number[]> {
  const set = Array.from({ length: size }, (_, i) => i);
  if (size > n) return;
  while (true) {
    yield [...set];
    let i = size - 1;
    while (i >= 0 && set[i] === n - size + i) i--;
    if (i < 0) return;
    set[i] = set[i]! + 1;
    for (let j = i + 1; j < size; j++) set[j] = set[j - 1]! + 1;
  }
}

/** Rows in reduced form, kept by leading column; everything modulo `prime`. */
class ModularBasis {
  private readonly byLead = new Map<number, Int32Array>();
  private readonly columns: number;

  constructor(columns: number) {
    this.columns = columns;
  }

  get rank(): number {
    return this.byLead.size;
  }

  rows(): IterableIterator<Int32Array> {
    return this.byLead.values();
  }

  /** What is left of a row after the rows held. */
  reduce(row: Int32Array): Int32Array {
    const out = row.slice();
    for (let c = 0; c < this.columns; c++) {
      const factor = out[c]!;
      if (factor === 0) continue;
      const basis = this.byLead.get(c);
      if (!basis) continue;
      for (let k = c; k < this.columns; k++) {
        if (basis[k] !== 0) out[k] = (out[k]! + (prime - factor) * basis[k]!) % prime;
      }
    }
    return out;
  }

  /** Takes a row in if it adds a dimension. */
  add(row: Int32Array): void {
    const left = this.reduce(row);
    const lead = left.findIndex((value) => value !== 0);
    if (lead < 0) return;
    const inverse = modularInverse(left[lead]!);
    for (let k = lead; k < this.columns; k++) left[k] = (left[k]! * inverse) % prime;
    this.byLead.set(lead, left);
  }
}

function modularInverse(value: number): number {
  let result = 1;
  let base = value % prime;
  for (let power = prime - 2; power > 0; power = Math.floor(power / 2)) {
    if (power % 2 === 1) result = (result * base) % prime;
    base = (base * base) % prime;
  }
  return result;
}
