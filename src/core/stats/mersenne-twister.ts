/**
 * MT19937: `init_genrand` seeding by one 32-bit integer and 53-bit uniforms (`genrand_res53`).
 *
 * Source: M. Matsumoto & T. Nishimura, ACM Trans. Model. Comput. Simul. 8 (1998) 3, 2002 version. Draw for draw equal to
 * NumPy's `RandomState(seed).random_sample`, so that a bootstrap can be followed outside.
 */
export interface UniformSource {
  /** A uniform in [0, 1) with 53 random bits. */
  next(): number;
}

const size = 624;
const middle = 397;

/** A generator started from a seed 0 .. 2^32 - 1. */
export function mersenneTwister(seed: number): UniformSource {
  const state = new Uint32Array(size);
  state[0] = seed >>> 0;
  for (let i = 1; i < size; i++) {
    const before = state[i - 1]! ^ (state[i - 1]! >>> 30);
    state[i] = Math.imul(1812433253, before) + i;
  }
  let index = size;
  const refill = (): void => {
    for (let i = 0; i < size; i++) {
      const y = (state[i]! & 0x80000000) | (state[(i + 1) % size]! & 0x7fffffff);
      state[i] = state[(i + middle) % size]! ^ (y >>> 1) ^ ((y & 1) === 0 ? 0 : 0x9908b0df);
    }
    index = 0;
  };
  const word = (): number => {
    if (index >= size) refill();
    let y = state[index++]!;
    y ^= y >>> 11;
    y ^= (y << 7) & 0x9d2c5680;
    y ^= (y << 15) & 0xefc60000;
    y ^= y >>> 18;
    return y >>> 0;
  };
  return {
    next: () => {
      const a = word() >>> 5;
      const b = word() >>> 6;
      return (a * 67108864 + b) / 9007199254740992;
    },
  };
}
