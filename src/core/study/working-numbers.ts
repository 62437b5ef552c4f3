/** Numbers as a working prints them: enough digits that the hand calculation gives the printed result. */
import { plainDecimal, roundedText } from '../text/format.ts';

/** A value rounded to significant digits, as its own decimal. */
export function significant(value: number, digits: number): number {
  return value === 0 || !Number.isFinite(value) ? value : Number(value.toPrecision(digits));
}

/**
 * The fewest significant digits (5 to 15) at which the inputs, so rounded, give the same printed result.
 *
 * @param inputs exact values; whole numbers stay whole
 * @param result computes the result from inputs; several where the same inputs give several
 * @param printed decimals of the printed result, or how it is printed
 */
export function inputsThatReproduce<K extends string>(
  inputs: Readonly<Record<K, number>>,
  result: (inputs: Readonly<Record<K, number>>) => number | readonly number[],
  printed: number | ((value: number) => string),
): Readonly<Record<K, string>> {
  const text = typeof printed === 'number' ? (value: number) => roundedText(value, printed) : printed;
  const print = (values: Readonly<Record<K, number>>): string => {
    const found = result(values);
    return typeof found === 'number' ? text(found) : found.map(text).join(' ');
  };
  const wanted = print(inputs);
  let rounded = inputs;
  for (let digits = 5; digits <= 16; digits++) {
    rounded = mapValues(inputs, (value) => (Number.isInteger(value) ? value : significant(value, digits)));
    if (print(rounded) === wanted) break;
  }
  return mapValues(rounded, (value) => plainDecimal(value));
}

function mapValues<K extends string, A, B>(record: Readonly<Record<K, A>>, map: (value: A) => B): Record<K, B> {
  // The keys of the result are those of the input.
  return Object.fromEntries((Object.entries(record) as [K, A][]).map(([key, value]) => [key, map(value)])) as Record<
    K,
    B
  >;
}

/**
 * Decimals at which a value is printed beside a bound: more where the rounded value would hide on which side it lies.
 */
export function decimalsBeside(value: number, bound: number | null, least: number): number {
  if (bound === null) return least;
  let decimals = least;
  while (decimals < 9) {
    const shown = Number(roundedText(value, decimals));
    if (value === bound || (value < bound ? shown < bound : shown > bound) || (value > bound && shown === value)) break;
    decimals++;
  }
  return decimals;
}
