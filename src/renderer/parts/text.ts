import { type Said, type SaidArgs, type SaidKey, said, sayMarked, withoutMarks } from '#core/text/said.ts';

/** A phrase of the catalogue as plain text for the screen (thin spaces between thousands, no marks). */
export function t<K extends SaidKey>(key: K, args: SaidArgs<K>): string {
  return withoutMarks(sayMarked(said(key, args), true));
}

/** A sentence that came from the engine, as plain text for the screen. */
export function plain(sentence: Said): string {
  return withoutMarks(sayMarked(sentence, true));
}
