/**
 * A calculator for the workings: reads the numbers that are printed, works them out as a person would, and says where the
 * printed result is not what comes out. It knows nothing of how the study computes.
 */
import { normalCdf } from '#core/stats/normal-distribution.ts';
import { roundedText } from '#core/text/format.ts';

interface Found {
  /** Steps (left side, result) that could be worked out. */
  readonly checked: number;
  readonly wrong: readonly string[];
}

/** Checks one line of a working as text: `a = b = c`, `x ± y = low to high`, parts apart by `;`. */
export function checkedByHand(text: string): Found {
  let checked = 0;
  const wrong: string[] = [];
  for (const part of text.split(';')) {
    for (const [left, right] of equalities(part)) {
      const values = evaluate(left);
      if (values === null) continue;
      const printed = numbersOf(right);
      if (printed === null) {
        const between = betweenSteps(left, right, values);
        if (between === null) continue;
        checked++;
        if (between !== '') wrong.push(between);
        continue;
      }
      if (values.length !== printed.length) continue;
      values.forEach((value, k) => {
        checked++;
        const shown = printed[k]!;
        // Shares in a million are printed to four digits.
        const same = text.includes('in a million')
          ? Number(value.toPrecision(4)) === Number(shown)
          : shown.includes('e')
            ? value.toExponential(2) === Number(shown).toExponential(2)
            : // On a tie the last bit of the calculation must not decide.
              [1 - 1e-13, 1, 1 + 1e-13].some((bit) => roundedText(value * bit, decimalsOf(shown)) === shown);
        if (!same) wrong.push(`${left} = ${value}, printed ${shown}`);
      });
    }
  }
  return { checked, wrong };
}

/** A right side that is a calculation itself: the same value, or the same half width. Null: it is none. */
function betweenSteps(left: string, right: string, values: readonly number[]): string | null {
  const half = / ± (\d[\d.]*)$/.exec(right)?.[1];
  if (half !== undefined && values.length === 2) {
    const found = (values[1]! - values[0]!) / 2;
    return roundedText(found, decimalsOf(half)) === half ? '' : `${left}: half is ${found}, printed ${half}`;
  }
  const again = evaluate(right);
  if (again === null || again.length !== 1 || values.length !== 1) return null;
  return Math.abs(again[0]! - values[0]!) <= 1e-8 * Math.abs(values[0]!)
    ? ''
    : `${left} = ${values[0]}, then ${again[0]}`;
}

const decimalsOf = (shown: string): number => (shown.includes('.') ? shown.length - shown.indexOf('.') - 1 : 0);

/** Left and right sides; `p = q to r = s` of two ends is cut into its halves. */
function equalities(part: string): [string, string][] {
  const sides = part.split(' = ').map((side) => side.trim());
  const found: [string, string][] = [];
  for (let k = 0; k + 1 < sides.length; k++) {
    const left = sides[k]!;
    const right = sides[k + 1]!;
    const to = right.split(' to ');
    // "1.2 to 1.4 × √(...)": the first end belongs to the left side, the rest starts the next equality.
    if (k + 2 < sides.length && to.length === 2 && numbersOf(to[0]!) !== null && numbersOf(right) === null) {
      found.push([left, to[0]!]);
      sides[k + 1] = to[1]!;
    } else found.push([left, right]);
  }
  return found;
}

/** The numbers a result consists of ("1.25 to 1.63 N·m in a million"); null when it is a calculation itself. */
function numbersOf(text: string): string[] | null {
  const bare = text
    .replaceAll('−', '-')
    .replace(/ in a million.*$/, '')
    .replace(/ ?≤.*$/, '')
    .replace(/,.*$/, '')
    .replace(/ (N·m|lbf·ft|°).*$/, '')
    .trim();
  const found = /^(-?[\d.]+(?:e-?\d+)?)(?: (?:to|±) (-?[\d.]+(?:e-?\d+)?))?$/.exec(bare);
  if (!found) return null;
  return bare.includes('±') ? null : found.slice(1).filter((one) => one !== undefined);
}

/** Value of a calculation, or both values of one with ±; null where it is not one. */
function evaluate(text: string): number[] | null {
  const share = / in a million/.test(text);
  if (text.includes('±')) {
    const low = evaluate(text.replace('±', '−'));
    const high = evaluate(text.replace('±', '+'));
    // On the probit scale more is less: the larger distance is the smaller share.
    return low && high && low.length === 1 && high.length === 1
      ? text.includes('Φ')
        ? [high[0]!, low[0]!]
        : [low[0]!, high[0]!]
      : null;
  }
  const tokens = text
    .replaceAll('−', '-')
    .replaceAll('×', '*')
    .match(/\d+(?:\.\d+)?(?:e-?\d+)?|[-+*/^()√Φ]|e(?=\^)|\S+/g);
  if (!tokens || share) return null;
  let at = 0;
  const fail = Symbol('no calculation');
  const next = (): string | undefined => tokens[at];
  const sum = (): number => {
    let value = product();
    while (next() === '+' || next() === '-') value = tokens[at++] === '+' ? value + product() : value - product();
    return value;
  };
  const product = (): number => {
    let value = signed();
    while (next() === '*' || next() === '/') value = tokens[at++] === '*' ? value * signed() : value / signed();
    return value;
  };
  const signed = (): number => {
    if (next() !== '-') return raised();
    at++;
    return -raised();
  };
  const raised = (): number => {
    const value = single();
    if (next() !== '^') return value;
    at++;
    return value ** signed();
  };
  const single = (): number => {
    const token = tokens[at++];
    if (token === '√') return Math.sqrt(single());
    if (token === 'Φ') return normalCdf(single());
    if (token === 'e') return Math.E;
    if (token === '(') {
      const value = sum();
      if (tokens[at++] !== ')') throw fail;
      return value;
    }
    if (token === undefined || !/^\d/.test(token)) throw fail;
    return Number(token);
  };
  try {
    const value = sum();
    if (at !== tokens.length) return null;
    return [text.includes('Φ') ? value * 1e6 : value];
  } catch (thrown) {
    if (thrown === fail) return null;
    throw thrown;
  }
}
