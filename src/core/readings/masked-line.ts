/** A line of a dump with the operator's cell masked, for plants where nobody shall be named. */
import { roleOfHeader } from '../intake/header-words.ts';
import { ownResultOf } from '../intake/own-result-words.ts';
import type { Recipe } from '../intake/recipe.ts';
import { blanks, type Dialect, Tokeniser } from '../intake/tokeniser.ts';
import { unitOfText } from '../intake/unit-words.ts';
import type { Role } from '../intake/vocabulary.ts';
import type { NameMask } from './name-mask.ts';

/** What stands in place of a cell that the program does not read. */
const unread = '…';

/** Put in place of the stretch `from`..`to` of the line as written. */
interface Replaced {
  readonly from: number;
  readonly to: number;
  readonly by: string;
}

export interface MaskedLine {
  readonly text: string;
  /** Whether cells were left out because nobody knows what they hold. */
  readonly leftOut: boolean;
  /** Where a stretch of the line as written stands in `text`; null when any of it was replaced. */
  place(span: readonly [number, number]): readonly [number, number] | null;
}

interface Cell {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/**
 * The line with nobody named in it; null where it is not certain that nobody is.
 *
 * First by the columns of the file: the operator's cell is replaced by the operator's number, and what stands in columns
 * that the program does not read is left out, since nobody has said what they hold. This holds when the line has the
 * columns of the file, or when the operator's cell names the operator of the reading. Else every cell that as a whole
 * is a badge or a name of the register is replaced, every other with letters in it that are no unit, tool, joint or
 * result is left out, and this holds only if the operator of the reading is among those replaced.
 *
 * @param line without its line break, whole
 * @param recipe how the file was read; null: not known
 * @param operator label of the reading's operator; null: it has none; undefined: not known (a line that is no reading)
 */
export function maskedLine(
  line: string,
  recipe: Recipe | null,
  mask: NameMask,
  operator: string | null | undefined,
): MaskedLine | null {
  const replaced = (recipe && byColumns(line, recipe, mask, operator)) ?? byWholeCells(line, recipe, mask, operator);
  return replaced && put(line, replaced);
}

function byColumns(
  line: string,
  recipe: Recipe,
  mask: NameMask,
  operator: string | null | undefined,
): Replaced[] | null {
  const { layout, roles } = recipe;
  const named = roles.flatMap((role, column) => (role === 'operator' ? [column] : []));
  for (const dialect of dialectsOf(recipe)) {
    const cells = cellsOf(line, dialect, layout.columns);
    if (cells === null) continue;
    const fits = cells.length === layout.columns;
    const held = named.map((column) => mask.whole(cells[column]?.text ?? ''));
    const isHis = typeof operator === 'string' && held.includes(operator);
    // A rejected line may be shifted by a cell: what stands in the operator's column must then be one that is known.
    const known = operator !== undefined || named.every((column, k) => cells[column]?.text === '' || held[k] !== null);
    if (!isHis && !(fits && known)) continue;
    const replaced: Replaced[] = [];
    cells.forEach((cell, column) => {
      const by = inColumn(cell.text, roles[column] ?? 'ignore', layout.header?.[column] ?? null, mask);
      // Nothing of a shifted line is where it should be.
      const also = operator === undefined ? mask.whole(cell.text) : null;
      const shown = also ?? by;
      if (shown !== cell.text) replaced.push({ from: cell.from, to: cell.to, by: shown });
    });
    return replaced;
  }
  return null;
}

/** A cell as it may be shown. */
function inColumn(text: string, role: Role, header: string | null, mask: NameMask): string {
  if (text === '') return text;
  switch (role) {
    case 'operator':
      return mask.whole(text) ?? mask.somebody;
    case 'ignore':
      return header !== null && roleOfHeader(header)?.role === 'operator'
        ? (mask.whole(text) ?? mask.somebody)
        : unread;
    case 'note':
    case 'station':
      return mask.person(text);
    default:
      return text;
  }
}

function byWholeCells(
  line: string,
  recipe: Recipe | null,
  mask: NameMask,
  operator: string | null | undefined,
): Replaced[] | null {
  if (operator === null) return null;
  for (const dialect of [...(recipe ? dialectsOf(recipe) : []), ...usualDialects]) {
    const cells = cellsOf(line, dialect, 0);
    if (cells === null || cells.length < 2) continue;
    const labels = cells.map((cell) => mask.whole(cell.text));
    if (operator === undefined ? labels.every((label) => label === null) : !labels.includes(operator)) continue;
    return cells.flatMap((cell, k) => {
      const by = labels[k] ?? (isNobody(cell.text, mask) ? cell.text : unread);
      return by === cell.text ? [] : [{ from: cell.from, to: cell.to, by }];
    });
  }
  return null;
}

/** A date, a number with or without a unit, a tool, a joint, a result: cells that cannot be the name of a person. */
function isNobody(text: string, mask: NameMask): boolean {
  const letters = text.replace(/^[-+\d.,\s]+/u, '').trim();
  return (
    !/\p{L}/u.test(text) ||
    /^[\d.:/-]+(?:[T\s][\d.:]+)?\s*(?:am|pm)$/iu.test(text) ||
    /^(?:deg|°)$/iu.test(letters) ||
    unitOfText(letters) !== null ||
    ownResultOf(text) !== null ||
    mask.isThing(text)
  );
}

const usualDialects: readonly Dialect[] = [';', ',', '\t', '|', blanks].map((delimiter) => ({
  delimiter,
  blankAfter: false,
  quote: '"',
  escape: 'doubled',
}));

/** A recipe says nothing of blanks after delimiters: both ways are tried. */
function dialectsOf({ layout }: Recipe): Dialect[] {
  const quoting = { quote: layout.quote, escape: layout.escape };
  if (layout.delimiter === ' ') return [{ delimiter: blanks, blankAfter: false, ...quoting }];
  const delimiter = layout.delimiter.charAt(0);
  return [false, true].map((blankAfter) => ({ delimiter, blankAfter, ...quoting }));
}

/** The cells of a line, without the blanks around them; null when it is not one record. */
function cellsOf(line: string, dialect: Dialect, expected: number): Cell[] | null {
  const tokeniser = new Tokeniser(dialect);
  tokeniser.expected = expected;
  tokeniser.push(line);
  tokeniser.end();
  if (!tokeniser.next() || tokeniser.openQuote || tokeniser.overlong || tokeniser.to < line.length) return null;
  const cells: Cell[] = [];
  for (let i = 0; i < tokeniser.count; i++) {
    const text = tokeniser.cell(i);
    const start = tokeniser.starts[i] ?? 0;
    const written = line.slice(start, tokeniser.ends[i] ?? 0);
    const before = written.length - written.trimStart().length;
    cells.push({ from: start + before, to: start + written.trimEnd().length, text: text.trim() });
  }
  return cells;
}

function put(line: string, replaced: readonly Replaced[]): MaskedLine {
  let text = '';
  let done = 0;
  for (const { from, to, by } of replaced) {
    text += line.slice(done, from) + by;
    done = to;
  }
  text += line.slice(done);
  return {
    text,
    leftOut: replaced.some((one) => one.by === unread),
    place([from, to]) {
      let moved = 0;
      for (const one of replaced) {
        if (one.from < to && one.to > from) return null;
        if (one.to <= from) moved += one.by.length - (one.to - one.from);
      }
      return [from + moved, to + moved];
    },
  };
}
