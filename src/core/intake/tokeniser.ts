/**
 * Cuts text into records and cells.
 *
 * Our own and not a library's: cells are handed on as positions in the text (a million rows make no million strings),
 * every line break counts in one way or another, and a quote that never closes costs one line instead of the file.
 */
export interface Dialect {
  /** One character, or `blanks` for runs of blanks and tabs. */
  readonly delimiter: string;
  /** A single blank follows each delimiter and belongs to it. */
  readonly blankAfter: boolean;
  readonly quote: '"' | "'" | '';
  readonly escape: 'doubled' | 'backslash';
}

/** Delimiter of the dialect in which any run of blanks or tabs parts two cells. */
export const blanks = 'blanks';

/** A longer line is no record of a wrench: it is given out once, cut, and the rest of it skipped. Memory stays flat. */
const longestRecord = 1 << 20;
/** A longer quoted cell, in characters or lines, is a quote that never closes. */
const longestQuoted = 1 << 16;
const mostInnerBreaks = 500;

/**
 * Pull-style tokeniser: `push` text, then `next` until it is false, `end` after the last text.
 *
 * After `next` the public fields describe one record until the following call.
 */
export class Tokeniser {
  /** The buffer that all positions refer to. */
  text = '';
  /** Cells of the record: `text.slice(starts[i], ends[i])`, unless `special[i]` is a string (it had escapes). */
  starts = new Int32Array(64);
  ends = new Int32Array(64);
  readonly special: (string | null)[] = [];
  hasSpecial = false;
  count = 0;
  /** Physical line of the record's first character, from 1, and lines covered. */
  line = 0;
  lines = 0;
  /** The record in the text, without its line break. */
  from = 0;
  to = 0;
  /** A quote opened in this record and never closed: it was taken as a character. */
  openQuote = false;
  /** A cell was quoted. */
  quoted = false;
  /** Physical lines seen so far. */
  lineTotal = 0;
  /** Cells a record should have, 0 unknown: tells a quote that swallows lines from a cell with line breaks. */
  expected = 0;

  /** The record was longer than any record and is cut. */
  overlong = false;

  /** The codes of `text`, place by place, where it came as plain ASCII: quicker to look through than a string. */
  #codes: Uint8Array | null = null;
  #position = 0;
  #ended = false;
  #skipping = false;
  /** First quote of this record that never closes: it and those after it are characters. */
  #plainFrom = Number.POSITIVE_INFINITY;
  /** A quote of this record that is a character though it would close: later ones still open cells. */
  #plainAt = -1;
  /** First quote of this record inside whose cell another quote opens after a delimiter: perhaps one too many. */
  #strayAt = -1;
  /** No closing quote lies between these positions: spares a search for every quote of a file full of open ones. */
  #noCloseAfter = 0;
  #noCloseBefore = 0;
  readonly #delimiter: number;
  readonly #blanks: boolean;
  readonly #blankAfter: boolean;
  readonly #quote: number;
  readonly #backslash: boolean;

  constructor(dialect: Dialect) {
    this.#blanks = dialect.delimiter === blanks;
    this.#delimiter = this.#blanks ? 32 : dialect.delimiter.charCodeAt(0);
    this.#blankAfter = dialect.blankAfter;
    this.#quote = dialect.quote === '' ? -1 : dialect.quote.charCodeAt(0);
    this.#backslash = dialect.escape === 'backslash';
  }

  /**
   * Adds text; positions of the last record are void afterwards.
   *
   * @param codes the same text as bytes, one for each character, good until the next `push`; null where it has others
   */
  push(chunk: string, codes: Uint8Array | null = null): void {
    this.#codes = this.#position < this.text.length ? null : codes;
    this.text = this.#position < this.text.length ? this.text.slice(this.#position) + chunk : chunk;
    this.#noCloseAfter = Math.max(0, this.#noCloseAfter - this.#position);
    this.#noCloseBefore = Math.max(0, this.#noCloseBefore - this.#position);
    this.#position = 0;
  }

  /** No more text will come. */
  end(): void {
    this.#ended = true;
  }

  /** Characters not yet given out. */
  get waiting(): number {
    return this.text.length - this.#position;
  }

  /** A cell as text. */
  cell(index: number): string {
    if (index >= this.count) return '';
    const special = this.hasSpecial ? this.special[index] : null;
    return special ?? this.text.slice(this.starts[index], this.ends[index]);
  }

  /** All cells of the record. */
  cells(): string[] {
    const cells: string[] = [];
    for (let i = 0; i < this.count; i++) cells.push(this.cell(i));
    return cells;
  }

  /** The record as it stands in the file. */
  raw(): string {
    return this.text.slice(this.from, this.to);
  }

  /** Steps to the next record; false when more text is needed or none is left. */
  next(): boolean {
    if (this.#skipping && !this.#skipLine()) return false;
    const start = this.#position;
    const length = this.text.length;
    if (start >= length) return false;
    this.hasSpecial = false;
    this.openQuote = false;
    this.quoted = false;
    this.overlong = false;
    this.#plainFrom = Number.POSITIVE_INFINITY;
    this.#plainAt = -1;
    this.#strayAt = -1;
    const linesBefore = this.lineTotal;
    for (;;) {
      const outcome = this.#record(start, length);
      if (outcome === more) return false;
      if (outcome === done) {
        if (this.#strayAt >= 0 && this.expected > 1 && this.count !== this.expected)
          this.#withoutStray(start, length, linesBefore);
        return true;
      }
      // A quote that does not close: once more from the start, with that quote as a plain character.
      this.#plainFrom = outcome;
      this.hasSpecial = false;
      this.quoted = false;
      this.openQuote = true;
    }
  }

  /**
   * Reads the record once more with the suspicious quote as a character, and keeps that reading if it gives as many
   * cells as the table has, or fits no worse in fewer lines; a stray quote must not swallow its neighbours.
   */
  #withoutStray(start: number, length: number, linesBefore: number): void {
    const end = this.#position;
    const lines = this.lines;
    const again = (plainAt: number): boolean => {
      this.lineTotal = linesBefore;
      this.#plainAt = plainAt;
      this.hasSpecial = false;
      this.quoted = false;
      return this.#record(start, length) === done;
    };
    const stray = this.#strayAt;
    const off = Math.abs(this.count - this.expected);
    if (again(stray) && this.#position <= end) {
      const offAgain = Math.abs(this.count - this.expected);
      if (offAgain === 0 || (offAgain <= off && this.lines < lines)) return;
    }
    // The first reading stands.
    again(-1);
    this.lines = lines;
  }

  #skipLine(): boolean {
    const text = this.text;
    let p = this.#position;
    while (p < text.length && text.charCodeAt(p) !== 10 && text.charCodeAt(p) !== 13) p++;
    if (p >= text.length || (p + 1 >= text.length && text.charCodeAt(p) === 13 && !this.#ended)) {
      this.#position = Math.min(p, text.length);
      return false;
    }
    this.#position = text.charCodeAt(p) === 13 && text.charCodeAt(p + 1) === 10 ? p + 2 : p + 1;
    this.#skipping = false;
    return true;
  }

  /** Reads one record. Returns done, more, or the position of a quote that never closes. */
  #record(start: number, length: number): number {
    const text = this.text;
    const codes = this.#codes;
    const delimiter = this.#delimiter;
    const quote = this.#quote;
    const isBlanks = this.#blanks;
    let starts = this.starts;
    let ends = this.ends;
    let p = start;
    let count = 0;
    let inner = 0;
    if (isBlanks) while (p < length && isBlank(text.charCodeAt(p))) p++;
    for (;;) {
      if (count === starts.length) {
        this.#grow();
        starts = this.starts;
        ends = this.ends;
      }
      if (this.#blankAfter && count > 0 && text.charCodeAt(p) === 32) p++;
      const opening = p < length && (codes === null ? text.charCodeAt(p) : codes[p]) === quote && this.#opens(p);
      if (opening) {
        const close = this.#quotedCell(p, length, count);
        if (close < 0) return close === needMore ? more : p;
        inner += this.#innerBreaks;
        starts[count] = p + 1;
        ends[count] = close;
        if (this.hasSpecial && this.special.length <= count) this.special[count] = null;
        count++;
        this.quoted = true;
        p = close + 1;
        while (p < length && text.charCodeAt(p) === 32 && delimiter !== 32) p++;
      } else {
        const cellStart = p;
        let c = 0;
        if (isBlanks) {
          while (p < length) {
            c = text.charCodeAt(p);
            if (c === 32 || c === 9 || c === 10 || c === 13) break;
            p++;
          }
        } else if (this.#backslash) {
          let escaped = false;
          while (p < length) {
            c = text.charCodeAt(p);
            if (c === 92 && p + 1 < length && text.charCodeAt(p + 1) !== 10 && text.charCodeAt(p + 1) !== 13) {
              escaped = true;
              p += 2;
              continue;
            }
            if (c === delimiter || c === 10 || c === 13) break;
            p++;
          }
          if (escaped) this.#setSpecial(count, withoutBackslashes(text.slice(cellStart, p), this.#quote, delimiter));
        } else if (codes !== null) {
          while (p < length) {
            c = codes[p]!;
            if (c === delimiter || c === 10 || c === 13) break;
            p++;
          }
        } else {
          while (p < length) {
            c = text.charCodeAt(p);
            if (c === delimiter || c === 10 || c === 13) break;
            p++;
          }
        }
        starts[count] = cellStart;
        ends[count] = p;
        if (this.hasSpecial && this.special.length <= count) this.special[count] = null;
        count++;
      }
      if (p >= length) {
        if (!this.#ended) {
          if (length - start < longestRecord) return more;
          this.overlong = true;
          this.#skipping = true;
        }
        this.#finish(start, p, count, inner + 1);
        this.#position = p;
        return done;
      }
      const at = codes === null ? text.charCodeAt(p) : codes[p]!;
      if (isBlanks && isBlank(at)) {
        while (p < length && isBlank(text.charCodeAt(p))) p++;
        if (p >= length && !this.#ended) return more;
        const after = p < length ? text.charCodeAt(p) : 10;
        if (after !== 10 && after !== 13) continue;
        if (p >= length) {
          this.#finish(start, p, count, inner + 1);
          this.#position = p;
          return done;
        }
      } else if (at === delimiter && !isBlanks) {
        p++;
        if (p >= length && !this.#ended && length - start < longestRecord) return more;
        continue;
      }
      if (text.charCodeAt(p) === 13) {
        if (p + 1 >= length && !this.#ended) return more;
        const isPair = text.charCodeAt(p + 1) === 10;
        this.#finish(start, p, count, inner + 1);
        this.#position = p + (isPair ? 2 : 1);
      } else {
        this.#finish(start, p, count, inner + 1);
        this.#position = p + 1;
      }
      return done;
    }
  }

  #finish(start: number, end: number, count: number, lines: number): void {
    this.count = count;
    this.from = start;
    this.to = end;
    this.line = this.lineTotal + 1;
    this.lines = lines;
    this.lineTotal += lines;
  }

  #innerBreaks = 0;

  /** Whether a quote at the start of a cell opens it. After one that never closes, none of the line does. */
  #opens(p: number): boolean {
    return p < this.#plainFrom && p !== this.#plainAt;
  }

  /** Position of the closing quote of the cell that opens at `open`; `neverCloses` or `needMore` otherwise. */
  #quotedCell(open: number, length: number, index: number): number {
    const text = this.text;
    const quote = this.#quote;
    const delimiter = this.#delimiter;
    let escaped = false;
    let innerBreaks = 0;
    let delimitersInLine = 0;
    /** First doubled quote that could as well be a quote and an end. */
    let pairThatCloses = -1;
    let breaksAtPair = 0;
    let outcome = needMore;
    /** Line breaks were jumped over, so a close found after that could not be counted right. */
    let jumped = false;
    let p = open + 1;
    while (p < length) {
      const c = text.charCodeAt(p);
      if (c === quote) {
        if (p + 1 >= length && !this.#ended) {
          p = length;
          break;
        }
        if (text.charCodeAt(p + 1) === quote && !this.#backslash) {
          if (pairThatCloses < 0 && p + 2 < length && this.#closes(p + 2, length)) {
            pairThatCloses = p + 1;
            breaksAtPair = innerBreaks;
          }
          escaped = true;
          p += 2;
          continue;
        }
        if ((p >= this.#noCloseBefore || open < this.#noCloseAfter) && this.#closes(p + 1, length)) {
          if (jumped) return neverCloses;
          return this.#close(open, p, index, innerBreaks, escaped);
        }
        if (this.#strayAt < 0 && p > open + 1 && text.charCodeAt(p - 1) === delimiter) this.#strayAt = open;
        // A quote that was not doubled: a character of the cell, unless an earlier doubled one fits better as the end.
        if (pairThatCloses >= 0) break;
        p++;
        continue;
      }
      if (c === 92 && this.#backslash) {
        if (p + 1 >= length && !this.#ended) {
          p = length;
          break;
        }
        escaped = true;
        p += 2;
        continue;
      }
      if (c === 10 || c === 13) {
        if (c === 13 && text.charCodeAt(p + 1) === 10) p++;
        innerBreaks++;
        // An inner line with as many delimiters as a whole record: the quote has swallowed a record.
        const swallowed = innerBreaks > 1 && this.expected > 3 && delimitersInLine >= this.expected - 1;
        if (swallowed || innerBreaks > mostInnerBreaks) {
          outcome = neverCloses;
          break;
        }
        delimitersInLine = 0;
        if (this.#noCloseBefore - p > 4096 && open >= this.#noCloseAfter && pairThatCloses < 0) {
          jumped = true;
          p = this.#noCloseBefore - 1;
        }
      } else if (c === delimiter) delimitersInLine++;
      p++;
    }
    if (p >= length && outcome === needMore) {
      if (this.#ended || length - open > longestQuoted) {
        this.#noCloseAfter = open;
        this.#noCloseBefore = length;
        outcome = neverCloses;
      }
    }
    if (pairThatCloses >= 0 && (outcome === neverCloses || p < length)) {
      return this.#close(open, pairThatCloses, index, breaksAtPair, true);
    }
    return outcome;
  }

  #close(open: number, close: number, index: number, innerBreaks: number, escaped: boolean): number {
    this.#innerBreaks = innerBreaks;
    if (escaped) {
      const inside = this.text.slice(open + 1, close);
      const mark = String.fromCharCode(this.#quote);
      this.#setSpecial(
        index,
        this.#backslash
          ? withoutBackslashes(inside, this.#quote, this.#delimiter)
          : inside.replaceAll(mark + mark, mark),
      );
    }
    return close;
  }

  /** Whether what follows a quote ends its cell: a delimiter, a line break or the end, blanks allowed. */
  #closes(after: number, length: number): boolean {
    const text = this.text;
    let p = after;
    if (this.#blanks) {
      return p >= length || isBlank(text.charCodeAt(p)) || text.charCodeAt(p) === 10 || text.charCodeAt(p) === 13;
    }
    while (p < length && text.charCodeAt(p) === 32 && this.#delimiter !== 32) p++;
    if (p >= length) return true;
    const c = text.charCodeAt(p);
    return c === this.#delimiter || c === 10 || c === 13;
  }

  #setSpecial(index: number, text: string): void {
    if (!this.hasSpecial) {
      this.special.length = 0;
      this.hasSpecial = true;
    }
    while (this.special.length < index) this.special.push(null);
    this.special[index] = text;
  }

  #grow(): void {
    const starts = new Int32Array(this.starts.length * 2);
    const ends = new Int32Array(this.starts.length * 2);
    starts.set(this.starts);
    ends.set(this.ends);
    this.starts = starts;
    this.ends = ends;
  }
}

const done = -1;
const more = -2;
const neverCloses = -3;
const needMore = -4;

const isBlank = (code: number): boolean => code === 32 || code === 9;

/** Takes backslashes off the characters they protect; any other backslash is a character (a Windows path). */
function withoutBackslashes(text: string, quote: number, delimiter: number): string {
  let out = '';
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    const next = text.charCodeAt(i + 1);
    if (c === 92 && (next === 92 || next === quote || next === delimiter)) {
      out += text[i + 1];
      i++;
    } else out += text[i];
  }
  return out;
}
