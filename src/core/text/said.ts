/**
 * Sentences as data.
 *
 * Engine and core say things by key and arguments; the words are put in where they are shown, in the reader's
 * language. Marks inside a phrase: `**strong**`, `{low|text}`, `{high|text}`, `{you|text}`, `{mono|text}`.
 */

import { en } from './en/en.ts';
import { englishFormat } from './format.ts';

export type Catalogue = typeof en;
export type SaidKey = keyof Catalogue;
/** What a phrase needs: the first parameter of its function. */
export type SaidArgs<K extends SaidKey> = Parameters<Catalogue[K]>[0];

/** A sentence: plain data that may cross any border. */
export interface Said {
  readonly key: SaidKey;
  readonly args: Readonly<Record<string, unknown>>;
}

/** Makes a sentence; the compiler checks that the phrase exists and gets what it needs. */
export function said<K extends SaidKey>(key: K, args: SaidArgs<K>): Said {
  return { key, args: args as Readonly<Record<string, unknown>> };
}

/** The sentence in English, with marks. `grouping` false for exports (no thin spaces in numbers). */
export function sayMarked(sentence: Said, grouping = true): string {
  const format = englishFormat((inner) => sayMarked(inner, grouping), grouping);
  const phrase = en[sentence.key] as ((args: unknown, format: unknown) => string) | undefined;
  // A newer engine may know a phrase this catalogue lacks: show the key rather than nothing.
  return phrase ? phrase(sentence.args, format) : sentence.key;
}

/** The sentence in English, without marks: for JSON, plain text and screen readers. */
export function say(sentence: Said, grouping = false): string {
  return withoutMarks(sayMarked(sentence, grouping));
}

/** Strips the marks of a phrase. */
export function withoutMarks(text: string): string {
  return text.replace(/\*\*/g, '').replace(/\{(?:low|high|you|mono)\|([^{}]*)\}/g, '$1');
}
