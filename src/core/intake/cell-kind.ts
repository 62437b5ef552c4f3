/** What a cell looks like, judged by its spelling alone. Used on the first lines of a file only. */

import { ownResultOf } from './own-result-words.ts';
import { unitOfText } from './unit-words.ts';

export type CellKind =
  | 'empty'
  | 'integer'
  | 'number'
  /** A number with a unit or a degree sign glued on. */
  | 'quantity'
  | 'date'
  | 'time'
  | 'date-time'
  | 'unit'
  | 'own-result'
  | 'word'
  | 'other';

const integer = /^[+-]?\d{1,15}$/;
const number =
  /^[+-]?(?:\d{1,3}(?:[.,' \u00a0\u2009\u202f’]\d{3})+(?:[.,]\d+)?|\d*[.,]\d+|\d+[.,]?)(?:[eE][+-]?\d{1,3})?-?$/;
const quantity = /^[+-]?[\d.,]+\s*([^\d\s.,+-].{0,15})$/u;
const date =
  /^(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{2}(?:\d{2})?|\d{1,2}[-/. ]{1,2}\p{L}{3,10}\.?[-/., ]{1,2}\d{2,4}|\p{L}{3,10}\.? \d{1,2},? \d{4}|\d{4}[-/ ]\p{L}{3,10}\.?[-/ ]\d{1,2}|\d{4}年\d{1,2}月\d{1,2}日)$/u;
const time =
  /^\d{1,2}[:h.]\d{2}(?:[:m.]\d{2}s?(?:[.,]\d{1,9})?)?\s*(?:[AaPp]\.?\s?[Mm]\.?)?\s*(?:Z|UTC|GMT|CES?T|[+-]\d{2}:?\d{2})?$/;
const dateTime =
  /^(.{6,20}?)(?:T|[ ,]+)(\d{1,2}[:.]\d{2}(?:[:.]\d{2}(?:[.,]\d{1,9})?)?\s*(?:[AaPp]\.?\s?[Mm]\.?)?\s*(?:Z|UTC|GMT|CES?T|[+-]\d{2}:?\d{2})?)$/;
const word = /^[^,;\t|"]{1,80}$/;

/** Spelling of a cell, outer blanks ignored. */
export function cellKind(raw: string): CellKind {
  const text = asciiDigits(raw.trim());
  if (text === '') return 'empty';
  if (text.length > 200) return 'other';
  const first = text.charCodeAt(0);
  const mayBeNumber =
    (first >= 48 && first <= 57) || first === 43 || first === 45 || first === 46 || first === 44 || first === 0x2212;
  if (mayBeNumber) {
    if (integer.test(text)) return 'integer';
    const plain = text.replace('\u2212', '-');
    // A time with dots and a date with dots are spelled like numbers only when they have one dot.
    if (date.test(plain)) return 'date';
    if (number.test(plain)) return 'number';
    if (time.test(plain)) return 'time';
    const parts = dateTime.exec(plain);
    if (parts && date.test(parts[1] ?? '')) return 'date-time';
    const glued = quantity.exec(plain);
    if (glued && (unitOfText(glued[1] ?? '') !== null || isDegree(glued[1] ?? ''))) return 'quantity';
  } else {
    if (date.test(text)) return 'date';
    const parts = dateTime.exec(text);
    if (parts && date.test(parts[1] ?? '')) return 'date-time';
  }
  if (unitOfText(text) !== null) return 'unit';
  if (ownResultOf(text) !== null) return 'own-result';
  return word.test(text) ? 'word' : 'other';
}

/** Kinds that say what a cell measures, not what it names. */
export function isTyped(kind: CellKind): boolean {
  return kind !== 'word' && kind !== 'other' && kind !== 'empty';
}

/** Degree signs and words, as written in headers and glued to numbers. */
export function isDegree(text: string): boolean {
  return /^(?:°|º|deg(?:rees?)?\.?|grad|°\s?deg|度)$/i.test(text.trim());
}

/** Full-width digits and signs of CJK keyboards as the plain ones; anything else is left alone. */
export function asciiDigits(text: string): string {
  return /[\uff01-\uff5e\u3000]/.test(text)
    ? text.replace(/[\uff01-\uff5e]/g, (c) => String.fromCharCode(c.charCodeAt(0) - 0xfee0)).replace(/\u3000/g, ' ')
    : text;
}
