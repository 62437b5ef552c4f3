/**
 * A root of a continuous function between two ends of opposite sign.
 *
 * Method: Brent's (inverse quadratic interpolation held by bisection); ends when the bracket is as small as doubles allow.
 * Source: R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter 4 (stated from memory).
 *
 * @returns the root, or null when the ends have the same sign or a value is not finite
 */
export function findRoot(f: (x: number) => number, from: number, to: number, tolerance = 1e-15): number | null {
  let a = from;
  let b = to;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!Number.isFinite(fa) || !Number.isFinite(fb) || fa > 0 === fb > 0) return null;
  let c = a;
  let fc = fa;
  let step = b - a;
  let before = step;
  for (let iteration = 0; iteration < 200; iteration++) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      before = step;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const least = 2 * Number.EPSILON * Math.abs(b) + 0.5 * tolerance;
    const half = (c - b) / 2;
    if (Math.abs(half) <= least || fb === 0) return b;
    if (Math.abs(before) >= least && Math.abs(fa) > Math.abs(fb)) {
      const s = fb / fa;
      let p: number;
      let q: number;
      if (a === c) {
        p = 2 * half * s;
        q = 1 - s;
      } else {
        const r = fb / fc;
        const t = fa / fc;
        p = s * (2 * half * t * (t - r) - (b - a) * (r - 1));
        q = (t - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      else p = -p;
      if (2 * p < Math.min(3 * half * q - Math.abs(least * q), Math.abs(before * q))) {
        before = step;
        step = p / q;
      } else {
        step = half;
        before = half;
      }
    } else {
      step = half;
      before = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > least ? step : Math.sign(half) * least;
    fb = f(b);
    if (!Number.isFinite(fb)) return null;
  }
  return b;
}
