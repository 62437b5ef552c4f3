/** Puts numbers in place of the people of a plant wherever a text may name them. */
import type { Operator, Register } from '../register/register.ts';
import { said, say } from '../text/said.ts';
import { type OperatorNumbers, operatorNumbers } from './operator-numbers.ts';

/** A spelling in files that stands for an operator, by position in the register; -1: an entry that is gone. */
export type WrittenOperator = readonly [written: string, operator: number];

/** What the operator of a text is called where nobody shall be named. */
export interface NameMask {
  /** The label of the operator that a text names as a whole, as badge, name or both; null: it names none. */
  whole(text: string): string | null;
  /** Who decided something: the label where that is an operator, else the name without any operator in it. */
  person(text: string): string;
  /** A text that people wrote: badges, names and family names in it become labels. */
  words(text: string): string;
  /** The name of a file: as `words`, and parted by underscores, too. */
  fileName(text: string): string;
  /** What a change of the journal was about: words and numbers there are the program's own, names are not. */
  subject(text: string): string;
  /** Whether a text as a whole is the name of a tool or a joint of the register. */
  isThing(text: string): boolean;
  /** Stands for somebody who cannot be told by number. */
  readonly somebody: string;
}

const normal = (text: string): string => text.normalize('NFC').trim().replace(/\s+/gu, ' ').toLowerCase();

/** A word, with what binds letters or digits into one: `T-207`, `2026-11-13`, `24,16`, `12:30`, `O'Hara`, `R.`. */
const wordPattern = /[\p{L}\p{N}](?:[\p{L}\p{N}_]|[-'’.](?=[\p{L}\p{N}])|(?<=\p{N})[,:/](?=\p{N}))*\.?/gu;
/** After a number these make it a count or a quantity, no badge. */
const afterCount =
  /^\s*(?:[%°]|(?:c?n\W?m|lbf|ft|in|kgf|deg|degrees?|mm|kg|s|ms|min|minutes?|h|hours?|days?|weeks?|readings?|pulls?|lines?|files?|checks?|fasteners?|bolts?|screws?|times|pieces|pcs|of|more|names?|rows?)(?![\p{L}\p{N}]))/iu;
/** Before a number these say what is numbered. */
const beforeCount =
  /(?:\b(?:line|lines|row|file|reading|readings|change|revision|program|bolt|bike|frame|order|batch|lot|rev|version|about|than|between)|[±+<>=≤≥−])\s*$/iu;
/** Before a short number these say that it is a person's. */
const personBefore = /\b(?:badge|operator|op|worker|colleague|no|nr|badge no)\.?\s*#?$/iu;

interface Known {
  readonly label: string;
  readonly digits: boolean;
  /** A family name alone: only as it is written in the register. */
  readonly part: string | null;
}

/** A name found in a text: how many words it has, where it ends, what stands in its place; null: it stays. */
interface Found {
  readonly words: number;
  readonly to: number;
  readonly label: string | null;
}

/**
 * A mask for the operators of a register.
 *
 * @param alsoWritten spellings in files beside the badges
 */
export function nameMask(
  register: Register,
  alsoWritten: readonly WrittenOperator[] = [],
  { labels }: OperatorNumbers = operatorNumbers(register),
): NameMask {
  const somebody = say(said('drift.operator.somebody', {}));
  const known = new Map<string, Known>();
  let most = 1;
  const add = (text: string | null, label: string, part: string | null = null): void => {
    const key = text === null ? '' : normal(text);
    if (key === '') return;
    most = Math.max(most, key.split(' ').length);
    const held = known.get(key);
    // A name that two people bear tells neither, and a whole name wins over another's part.
    if (held && (held.part === null || part !== null)) {
      if (held.label !== label && (held.part === null) === (part === null))
        known.set(key, { ...held, label: somebody });
      return;
    }
    known.set(key, { label, digits: /^\p{N}+$/u.test(key), part });
  };
  register.operators.forEach((operator, position) => {
    const label = labels[position] ?? somebody;
    add(operator.badge, label);
    add(operator.name, label);
    if (operator.name !== null) {
      add(`${operator.name} (${operator.badge})`, label);
      for (const turned of otherOrders(operator.name)) add(turned, label);
    }
  });
  for (const [written, position] of alsoWritten) add(written, labels[position] ?? somebody);
  register.operators.forEach((operator, position) => {
    for (const part of nameParts(operator)) add(part, labels[position] ?? somebody, part);
  });

  const tools = new Set(register.tools.map((tool) => normal(tool.serial)));
  const joints = new Set(register.joints.map((joint) => normal(joint.name)));
  const isThing = (text: string): boolean => tools.has(normal(text)) || joints.has(normal(text));
  for (const name of joints) most = Math.max(most, name.split(' ').length);

  const whole = (text: string): string | null => {
    const found = known.get(normal(text));
    return found && found.part === null ? found.label : null;
  };

  /** The label of some words in a text; null: they name nobody. */
  const named = (words: string): string | null => {
    const found = known.get(normal(words)) ?? known.get(normal(words.replace(/['’]s$/u, '')));
    if (!found) return null;
    // "long" is no person where "Long" is one.
    if (found.part !== null && !words.normalize('NFC').startsWith(found.part)) return null;
    return found.label;
  };

  /** Words with which names of more than one word begin: after any other word only the word itself is looked up. */
  const starts = new Set<string>();
  for (const name of [...known.keys(), ...tools, ...joints]) {
    const [first] = name.match(wordPattern) ?? [];
    if (first !== undefined && first !== name) starts.add(first);
  }

  /** The longest name that begins with a word: its label, null for a tool or a joint that is called as somebody is. */
  const nameFrom = (text: string, found: readonly RegExpExecArray[], first: number): Found | null => {
    const from = found[first]!.index;
    const longest = starts.has(normal(found[first]![0])) ? Math.min(most, found.length - first) : 1;
    for (let n = longest; n > 0; n--) {
      const last = found[first + n - 1]!;
      const end = last.index + last[0].length;
      // The stop of a sentence is no part of its last name.
      for (const to of last[0].endsWith('.') ? [end, end - 1] : [end]) {
        const stretch = text.slice(from, to);
        if (/\p{L}/u.test(stretch) && isThing(stretch)) return { words: n, to, label: null };
        const label = named(stretch);
        if (label !== null && (n > 1 || isBadge(stretch, text, from, to))) return { words: n, to, label };
      }
    }
    return namedPart(found[first]![0], from);
  };

  /** The text in pieces, every second one a label in place of a name. */
  const pieces = (text: string): string[] => {
    if (text === '' || known.size === 0) return [text];
    const found = [...text.matchAll(wordPattern)];
    const out: string[] = [];
    let done = 0;
    for (let k = 0; k < found.length; k++) {
      const name = nameFrom(text, found, k);
      if (!name) continue;
      const at = found[k]!.index;
      k += name.words - 1;
      if (name.label === null) continue;
      // "operator 139" becomes "Operator 3", not "operator Operator 3".
      const before = /(?:^|[^\p{L}\p{N}])(operator\s+)$/iu.exec(text.slice(done, at))?.[1] ?? '';
      out.push(text.slice(done, at - before.length), name.label);
      done = name.to;
    }
    return [...out, text.slice(done)];
  };
  const words = (text: string): string => pieces(text).join('');

  /** "night-Banerjee", "Osei/Lind": the parts of a bound word that are names; numbers stay bound. */
  const namedPart = (word: string, from: number): Found | null => {
    if (!/[-'’.]/u.test(word)) return null;
    const out = word
      .split(/([-'’.])/u)
      .map((part) => (/\p{L}/u.test(part) ? (named(part) ?? part) : part))
      .join('');
    return out === word ? null : { words: 1, to: from + word.length, label: out };
  };

  /** Whether a single word that is a badge stands there as one: numbers of two digits and quantities do not. */
  const isBadge = (word: string, text: string, from: number, to: number): boolean => {
    if (!known.get(normal(word))?.digits) return true;
    const before = text.slice(Math.max(0, from - 24), from);
    if (personBefore.test(before)) return true;
    return word.length > 2 && !afterCount.test(text.slice(to, to + 24)) && !beforeCount.test(before);
  };

  const filePart = (part: string): string => {
    // A serial or a date that looks like a badge within is none.
    if (
      part === '' ||
      tools.has(normal(part)) ||
      /^\d{2,4}-\d{2}-\d{2,4}$|^(?!op-|no-|nr-)\p{L}{1,2}-\p{N}+$/iu.test(part)
    )
      return part;
    const one = (text: string): string => whole(text) ?? named(text) ?? text;
    return whole(part) ?? part.split(/(-)/u).map(one).join('');
  };

  return {
    whole,
    person: (text) => whole(text) ?? words(text),
    words,
    fileName: (text) =>
      pieces(text)
        .map((piece, k) =>
          k % 2 === 1
            ? piece
            : piece
                .split(/([_\s()[\]{}.,;+&]+)/u)
                .map(filePart)
                .join(''),
        )
        .join(''),
    subject: (text) =>
      // "operator 7" is the program's own way to name an entry: whoever it is, and be the entry gone, it is a person.
      text
        .split(/((?:^|, )operator [^,]+)/u)
        .map((part, k) => {
          if (k % 2 === 0) return words(part);
          const [, before = '', name = ''] = /^(|, )operator (.+)$/u.exec(part) ?? [];
          return before + (whole(name) ?? somebody);
        })
        .join(''),
    isThing,
    somebody,
  };
}

/** "Banerjee R.", "Banerjee, R.": the last word first. */
function otherOrders(name: string): string[] {
  const words = name.trim().split(/\s+/u);
  const last = words.at(-1);
  if (last === undefined || words.length < 2) return [];
  const first = words.slice(0, -1).join(' ');
  return [`${last} ${first}`, `${last}, ${first}`];
}

/** The words of a name that tell a person when they stand alone; initials do not. */
function nameParts(operator: Operator): string[] {
  const words = (operator.name ?? '')
    .normalize('NFC')
    .trim()
    .split(/[\s.,]+/u);
  return words.length < 2 ? [] : words.filter((word) => [...word].length >= 3);
}
