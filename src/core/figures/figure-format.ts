/** Numbers, dates and sentences inside figures. One place, so that a language can be put in for all of them. */
import { englishFormat } from '../text/format.ts';
import { type Said, type SaidArgs, type SaidKey, said, say } from '../text/said.ts';

export const figureFormat = englishFormat((sentence) => say(sentence, true));

/** A phrase of the catalogue as the plain text of a figure. */
export function figureText<K extends SaidKey>(key: K, args: SaidArgs<K>): string {
  return say(said(key, args), true);
}

/** A sentence that came with the model, as the plain text of a figure. */
export function figureSay(sentence: Said): string {
  return say(sentence, true);
}
