/** Repeatable random numbers for the invented plant; not for statistics, which bring their own generator. */
export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal, by the Box-Muller transform. */
  normal(): number;
  /** Standard normal within `limit` on either side. */
  normalWithin(limit: number): number;
}

/**
 * Makes a generator from one integer. Method: the 32-bit mixing of mulberry32 (public domain).
 *
 * Each shift gets a generator of its own, so that a change in one shift leaves the others as they were.
 */
export function makeRandom(seed: number): Random {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 15), z | 1);
    z ^= z + Math.imul(z ^ (z >>> 7), z | 61);
    return ((z ^ (z >>> 14)) >>> 0) / 4_294_967_296;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const normalWithin = (limit: number): number => {
    let z = normal();
    while (Math.abs(z) > limit) z = normal();
    return z;
  };
  return { uniform, normal, normalWithin };
}
