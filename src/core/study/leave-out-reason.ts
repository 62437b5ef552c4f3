/** Words that say that a value is odd, but not why. */
const empty = new Set(
  (
    'outlier outliers outlying extreme odd strange unusual wrong bad value values reading readings point points data ' +
    'too high low it is was a an the this that obvious clear clearly statistical statistically suspected possible ' +
    'error measurement remove removed exclude excluded because of test by grubbs esd not ok'
  ).split(' '),
);

/**
 * Whether a reason for leaving a reading out says what happened.
 *
 * "Outlier" alone is no reason: a value may only be left out for something that happened at the joint (design rule of
 * this program; a statistical test points, it never removes).
 *
 * @returns false for an empty text and for one that only says that the value is odd
 * @example saysWhatHappened('clear outlier') // => false
 * @example saysWhatHappened('socket slipped off the nut') // => true
 */
export function saysWhatHappened(reason: string): boolean {
  const words = reason.toLowerCase().match(/\p{L}+/gu) ?? [];
  return words.some((word) => word.length > 1 && !empty.has(word));
}
