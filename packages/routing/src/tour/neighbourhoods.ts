import type { TourView } from "./tour-view.ts";

/** Longest memory one stop may have; sets are kept as bits of a small integer. */
const LONGEST_MEMORY = 14;

/**
 * Which visited stops each stop "remembers" (the ng-sets of the relaxation).
 *
 * Bit 0 of a set at stop j is j itself; further bits follow the order of `members[j]`. Members are
 * only ever added at the end, so a set written with a shorter memory still reads rightly.
 *
 * source: Baldacci, Mingozzi & Roberti 2012, INFORMS Journal on Computing 24(3):356–371 (ng-tours
 * for this problem); growing the memory along cycles: Roberti & Mingozzi 2014, Transportation
 * Science 48(3):413–424.
 */
export interface Neighbourhoods {
  /** Position of stop `u` in the memory of stop `j` at `j * size + u`; −1 when not remembered. */
  readonly bitOf: Int8Array;
  readonly members: readonly number[][];
  /** Set at `from` as seen from `to`, without `to` itself. */
  readonly carry: (from: number, to: number, set: number) => number;
  /** Makes `at` remember `stop`; false when its memory is full or already has it. */
  readonly remember: (at: number, stop: number) => boolean;
}

/** Stops closer together than this share of the typical drive count as one place. */
const NEXT_DOOR_SHARE = 0.1;
/** Most stops next door that are remembered from the start. */
const MOST_NEXT_DOOR = 8;

/** The middle value of all drives between stops. */
const typicalCost = (view: TourView): number => {
  const { size, width, cost } = view;
  const values: number[] = [];
  for (let from = 0; from < size; from++)
    for (let to = 0; to < size; to++) if (from !== to) values.push(cost[from * width + to]!);
  return values.sort((a, b) => a - b)[values.length >> 1] ?? 0;
};

/**
 * Memory of the `length` cheapest stops that could be visited on either side of each stop, and of
 * more where several lie next door (there, cycles are nearly free and would spoil the bound).
 */
export const neighbourhoods = (view: TourView, length: number): Neighbourhoods => {
  const { size, width, cost, before } = view;
  const bitOf = new Int8Array(size * size).fill(-1);
  const members: number[][] = [];
  const doorstep = NEXT_DOOR_SHARE * typicalCost(view);
  const tables = new Map<number, Uint16Array>();
  for (let at = 0; at < size; at++) {
    const near = Array.from({ length: size }, (_, stop) => stop)
      .filter(
        (stop) => stop !== at && before[at * size + stop] === 0 && before[stop * size + at] === 0,
      )
      .sort(
        (a, b) =>
          Math.min(cost[at * width + a]!, cost[a * width + at]!) -
            Math.min(cost[at * width + b]!, cost[b * width + at]!) || a - b,
      );
    const nextDoor = near.filter((stop) => cost[at * width + stop]! <= doorstep).length;
    const wanted = Math.max(length, 1 + Math.min(MOST_NEXT_DOOR, nextDoor));
    const kept = [at, ...near.slice(0, Math.min(wanted, LONGEST_MEMORY) - 1)];
    kept.forEach((stop, bit) => (bitOf[at * size + stop] = bit));
    members.push(kept);
  }
  const half = 1 << 7;
  const tableFor = (from: number, to: number): Uint16Array => {
    const key = from * size + to;
    const known = tables.get(key);
    if (known !== undefined) return known;
    const table = new Uint16Array(2 * half);
    for (let part = 0; part < 2; part++)
      for (let set = 0; set < half; set++) {
        let seen = 0;
        for (let bit = 0; bit < 7; bit++) {
          const stop = members[from]![part * 7 + bit];
          if ((set & (1 << bit)) === 0 || stop === undefined) continue;
          const there = bitOf[to * size + stop]!;
          if (there >= 0) seen |= 1 << there;
        }
        table[part * half + set] = seen;
      }
    tables.set(key, table);
    return table;
  };
  return {
    bitOf,
    members,
    carry: (from, to, set) => {
      const table = tableFor(from, to);
      return table[set & 127]! | table[half + (set >> 7)]!;
    },
    remember: (at, stop) => {
      const own = members[at]!;
      if (own.length >= LONGEST_MEMORY || bitOf[at * size + stop]! >= 0) return false;
      bitOf[at * size + stop] = own.length;
      own.push(stop);
      for (let other = 0; other < size; other++) {
        tables.delete(at * size + other);
        tables.delete(other * size + at);
      }
      return true;
    },
  };
};
