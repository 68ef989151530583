import type { RandomStream } from "../phantom/random.ts";

const whole = (random: RandomStream, below: number): number => Math.floor(random() * below);

const flipBits = (bytes: Uint8Array, random: RandomStream): Uint8Array => {
  const copy = Uint8Array.from(bytes);
  const changes = 1 + whole(random, 12);
  // Headers decide what a decoder does, so half the damage goes there.
  const reach = random() < 0.5 ? Math.min(2048, copy.length) : copy.length;
  for (let change = 0; change < changes; change += 1) {
    const at = whole(random, reach);
    copy[at] = copy[at]! ^ (1 << whole(random, 8));
  }
  return copy;
};

const extremes = [0x00, 0xff, 0x7f, 0x80, 0xfe, 0x01];

const writeExtreme = (bytes: Uint8Array, random: RandomStream): Uint8Array => {
  const copy = Uint8Array.from(bytes);
  const at = whole(random, copy.length);
  copy.fill(extremes[whole(random, extremes.length)]!, at, at + 1 + whole(random, 8));
  return copy;
};

const cutShort = (bytes: Uint8Array, random: RandomStream): Uint8Array =>
  bytes.slice(0, whole(random, bytes.length));

const removePart = (bytes: Uint8Array, random: RandomStream): Uint8Array => {
  const at = whole(random, bytes.length);
  const length = 1 + whole(random, 64);
  return Uint8Array.from([...bytes.subarray(0, at), ...bytes.subarray(at + length)]);
};

const repeatPart = (bytes: Uint8Array, random: RandomStream): Uint8Array => {
  const at = whole(random, bytes.length);
  const part = bytes.subarray(at, at + 1 + whole(random, 256));
  return Uint8Array.from([...bytes.subarray(0, at), ...part, ...part, ...bytes.subarray(at)]);
};

const mutations = [flipBits, flipBits, flipBits, writeExtreme, cutShort, removePart, repeatPart];

/** One damaged copy of a file; the same stream of numbers gives the same damage. */
export const mutated = (bytes: Uint8Array, random: RandomStream): Uint8Array => {
  let copy = mutations[whole(random, mutations.length)]!(bytes, random);
  if (random() < 0.3 && copy.length > 0) {
    copy = mutations[whole(random, mutations.length)]!(copy, random);
  }
  return copy;
};
