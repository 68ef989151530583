import type { Source } from "../evidence/index.ts";
import { TRIM_SOURCES } from "./sources.ts";

export interface LeverChange {
  /** Centre of rotation of the coffin joint to breakover along the ground, mm. */
  readonly beforeMm: number;
  readonly afterMm: number;
  /** Moment needed at breakover, after ÷ before, for the same force under the toe. */
  readonly relativeMoment: number;
  readonly changePercent: number;
  readonly source: Source;
}

/**
 * Lever arm before and after. Both breakovers and the centre of rotation are given from the tip of P3,
 * forward positive.
 */
export const leverArm = (
  centreOfRotationXMm: number,
  breakoverBeforeMm: number,
  breakoverAfterMm: number,
): LeverChange => {
  const beforeMm = breakoverBeforeMm - centreOfRotationXMm;
  const afterMm = breakoverAfterMm - centreOfRotationXMm;
  const relativeMoment = beforeMm > 0 ? afterMm / beforeMm : 1;
  return {
    beforeMm,
    afterMm,
    relativeMoment,
    changePercent: (relativeMoment - 1) * 100,
    source: TRIM_SOURCES.leverArm,
  };
};
