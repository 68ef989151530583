/** A stream of numbers in [0, 1) that depends only on its seed. */
export interface RandomStream {
  readonly next: () => number;
  /** Whole number from 0 up to, not including, `limit`. */
  readonly below: (limit: number) => number;
}

/**
 * Seeded pseudo-random stream, so that the same problem and seed always give the same plan.
 *
 * 32-bit state advanced by a Weyl sequence and mixed by multiply–xorshift (the finaliser family of
 * Steele, Lea & Flood 2014, "Fast splittable pseudorandom number generators", OOPSLA). Good enough
 * for search, not for secrets.
 */
export const randomStream = (seed: number): RandomStream => {
  let state = (Math.trunc(seed) ^ 0x9e3779b9) | 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  return { next, below: (limit) => Math.floor(next() * limit) };
};
