/** About `count` round ticks that cover `low`–`high`: steps of 1, 2 or 5 times a power of ten. */
export const roundTicks = (low: number, high: number, count: number): readonly number[] => {
  const span = high - low || Math.abs(high) || 1;
  const rough = span / Math.max(1, count);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5].find((factor) => rough <= factor * power) ?? 10);
  const first = Math.floor(low / step);
  // A single reading on a round number still needs two ticks to lie between.
  const last = Math.max(Math.ceil(high / step), first + 1);
  return Array.from({ length: last - first + 1 }, (_, index) =>
    Number(((first + index) * step).toPrecision(12)),
  );
};

/** A straight map from one range to another. */
export const linear =
  (fromLow: number, fromHigh: number, toLow: number, toHigh: number) =>
  (value: number): number =>
    toLow + ((value - fromLow) / (fromHigh - fromLow || 1)) * (toHigh - toLow);
