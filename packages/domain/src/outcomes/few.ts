import type { Source } from "../evidence/index.ts";

/** Why nothing is said of fewer cases: one horse more or less would turn the figure over. */
export const FEWEST_RULE: Source = {
  id: "house-fewest-for-rate",
  citation: "Shares and middles are given from five cases on; below that only the count is",
  status: "house rule",
};
/** Cases from which a share or a middle is given. source: {@link FEWEST_RULE} */
export const FEWEST_FOR_RATE = 5;

/** So many of so many. */
export interface Rate {
  readonly count: number;
  readonly n: number;
  /** 0-1; null while n is too small to say it. */
  readonly share: number | null;
}

/** @throws RangeError when the part is larger than the whole or either is no count. */
export const rateOf = (count: number, n: number): Rate => {
  if (!Number.isInteger(count) || !Number.isInteger(n) || count < 0 || count > n)
    throw new RangeError(`${String(count)} of ${String(n)} is no share`);
  return { count, n, share: n < FEWEST_FOR_RATE ? null : count / n };
};

/** The middle and the ends of some figures, in their own unit. */
export interface Summary {
  readonly n: number;
  /** Null, as the ends, while n is too small. */
  readonly median: number | null;
  readonly lowest: number | null;
  readonly highest: number | null;
}

/** The mean of the two middle figures, or the one. source: definition of the sample median */
const medianOf = (ordered: readonly number[]): number | null => {
  const upper = ordered[Math.floor(ordered.length / 2)];
  const lower = ordered[Math.ceil(ordered.length / 2) - 1];
  return upper === undefined || lower === undefined ? null : (lower + upper) / 2;
};

export const summaryOf = (values: readonly number[]): Summary => {
  const n = values.length;
  if (n < FEWEST_FOR_RATE) return { n, median: null, lowest: null, highest: null };
  const ordered = values.toSorted((left, right) => left - right);
  return {
    n,
    median: medianOf(ordered),
    lowest: ordered[0] ?? null,
    highest: ordered.at(-1) ?? null,
  };
};
