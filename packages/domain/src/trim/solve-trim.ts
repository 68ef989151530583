/**
 * The trim as a small linear programme, solved exactly.
 *
 * Unknowns, mm, none negative: heel, and three ways to bring breakover back (counted at the ground):
 * dressing the wall, bevelling the horn, setting the shoe back.
 *
 *   minimise   heelGap + toeGap + Σ cost × amount
 *   subject to heel + heelGap ≥ heelWanted,               heel ≤ heelMost
 *              dress + bevel + setBack + toeGap ≥ toeWanted
 *              dress + bevel + setBack ≤ toeMost,   dress ≤ dressMost,  bevel ≤ bevelMost,  dress + bevel ≤ hornMost,  setBack ≤ setBackMost
 *
 * A millimetre of gap costs 1, the three ways cost little and in this order, so the optimum is unique.
 * The bounds are nested (laminar), so filling the cheapest way first is optimal; it is compared with a
 * general solver in the tests.
 */
export interface TrimProgramme {
  readonly heelWantedMm: number;
  readonly heelMostMm: number;
  readonly toeWantedMm: number;
  /** All three ways together, this visit. */
  readonly toeMostMm: number;
  readonly dressMostMm: number;
  readonly bevelMostMm: number;
  readonly hornMostMm: number;
  readonly setBackMostMm: number;
}

export interface TrimOptimum {
  readonly heelMm: number;
  readonly dressMm: number;
  readonly bevelMm: number;
  readonly setBackMm: number;
  readonly heelGapMm: number;
  readonly toeGapMm: number;
  readonly objective: number;
}

/** What a millimetre costs beside a millimetre of gap; dressing flare is preferred, then bevel, then shoe. */
export const TRIM_COSTS = { heel: 0.001, dress: 0.001, bevel: 0.002, setBack: 0.003 } as const;

/** The optimum. Negative bounds mean that nothing may be taken. */
export const solveTrim = (programme: TrimProgramme): TrimOptimum => {
  const heelWanted = Math.max(0, programme.heelWantedMm);
  const toeWanted = Math.max(0, programme.toeWantedMm);
  const toeReach = Math.min(toeWanted, Math.max(0, programme.toeMostMm));
  const horn = Math.max(0, programme.hornMostMm);
  const heelMm = Math.min(heelWanted, Math.max(0, programme.heelMostMm));
  const dressMm = Math.min(toeReach, Math.max(0, programme.dressMostMm), horn);
  const bevelMm = Math.min(toeReach - dressMm, Math.max(0, programme.bevelMostMm), horn - dressMm);
  const setBackMm = Math.min(toeReach - dressMm - bevelMm, Math.max(0, programme.setBackMostMm));
  const heelGapMm = heelWanted - heelMm;
  const toeGapMm = toeWanted - dressMm - bevelMm - setBackMm;
  return {
    heelMm,
    dressMm,
    bevelMm,
    setBackMm,
    heelGapMm,
    toeGapMm,
    objective:
      heelGapMm +
      toeGapMm +
      TRIM_COSTS.heel * heelMm +
      TRIM_COSTS.dress * dressMm +
      TRIM_COSTS.bevel * bevelMm +
      TRIM_COSTS.setBack * setBackMm,
  };
};
