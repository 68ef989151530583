/** A repeatable stream of numbers in [0, 1). */
export type RandomStream = () => number;

/** Mulberry32: 32 bits of state, good enough for noise and test data, never for secrets. */
export const randomStream = (seed: number): RandomStream => {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
};

/** A value of the standard normal distribution (Box & Muller). */
export const normalFrom = (random: RandomStream): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
