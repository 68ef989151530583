/** Middle value; the mean of the two middle ones for an even count. */
export const median = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1
    ? (sorted[half] ?? 0)
    : ((sorted[half - 1] ?? 0) + (sorted[half] ?? 0)) / 2;
};

/** Smallest spread that is believed; edges on film scatter by at least this much. */
const leastSpreadPx = 0.05;

/**
 * Tukey's biweight of each residual: 1 at the fit, 0 beyond 4.685 robust standard deviations.
 * source: Beaton & Tukey 1974, Technometrics 16:147–185 (tuning constant for 95 % efficiency).
 */
export const biweights = (residuals: readonly number[]): readonly number[] => {
  const spread = Math.max(leastSpreadPx, 1.4826 * median(residuals.map(Math.abs)));
  return residuals.map((residual) => {
    const share = residual / (4.685 * spread);
    return Math.abs(share) >= 1 ? 0 : (1 - share * share) ** 2;
  });
};
