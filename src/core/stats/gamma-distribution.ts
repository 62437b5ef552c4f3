/** The gamma distribution by shape and scale; checked against R 4.2.2 to 1e-11 relative, both tails. */
import gamma from '@stdlib/stats-base-dists-gamma';
import { regularisedGammaP, regularisedGammaQ } from './incomplete-gamma.ts';
import { normalQuantile } from './normal-distribution.ts';

/** Probability below x. */
export function gammaCdf(x: number, shape: number, scale: number): number {
  return regularisedGammaP(shape, x / scale);
}

/** Probability above x, without the loss of 1 - cdf. */
export function gammaSurvival(x: number, shape: number, scale: number): number {
  return regularisedGammaQ(shape, x / scale);
}

/** Above this shape the library's quantile loses digits and Newton steps from Wilson and Hilferty's start replace it. */
const librarysMostShape = 100;

/** The value with probability `p` below it, 0 < p < 1. */
export function gammaQuantile(p: number, shape: number, scale: number): number {
  if (shape <= librarysMostShape || !(p > 0 && p < 1)) {
    // The library takes shape and rate.
    return gamma.quantile(p, shape, 1) * scale;
  }
  const z = normalQuantile(p);
  const ninth = 1 / (9 * shape);
  let x = shape * Math.max(1e-3, 1 - ninth + z * Math.sqrt(ninth)) ** 3;
  for (let step = 0; step < 30; step++) {
    const below = p < 0.5;
    const error = below ? regularisedGammaP(shape, x) - p : 1 - p - regularisedGammaQ(shape, x);
    const move = error / standardDensity(x, shape);
    // Halley: the curvature of the cdf is ((shape - 1)/x - 1) times its slope.
    const better = move / (1 - 0.5 * Math.max(-1, Math.min(1, move * ((shape - 1) / x - 1))));
    x = Math.max(x / 2, x - better);
    // Halley triples the digits: a step of 1e-5 standard deviations leaves 1e-15.
    if (Math.abs(better) * Math.sqrt(shape) < 1e-5 * x) break;
  }
  return x * scale;
}

/** Density at x for scale 1 and a large shape; it only steers Newton, so its last digits do not matter. */
function standardDensity(x: number, shape: number): number {
  const u = (x - shape) / shape;
  const i = 1 / shape;
  const exponent = shape * (Math.log1p(u) - u);
  return (Math.exp(exponent - i / 12) * Math.sqrt(shape / (2 * Math.PI))) / x;
}
