import { TRIM_SETTINGS } from "./settings.ts";

export const radians = (degrees: number): number => (degrees * Math.PI) / 180;
const degreesOf = (angle: number): number => (angle * 180) / Math.PI;
const tan = (degrees: number): number => Math.tan(radians(degrees));

/**
 * Heel to remove over all visits, mm: base × (tan now − tan wanted); 0 when the angle is low enough.
 * `baseLengthMm` runs along the ground from the heel contact to the pivot of the trim.
 */
export const heelToRemoveMm = (
  baseLengthMm: number,
  palmarAngleDegrees: number,
  targetDegrees: number,
): number => Math.max(0, baseLengthMm * (tan(palmarAngleDegrees) - tan(targetDegrees)));

/** Palmar angle after a heel trim by the planner's formula, the inverse of {@link heelToRemoveMm}. */
export const palmarAngleAfterHeelDegrees = (
  palmarAngleDegrees: number,
  heelMm: number,
  baseLengthMm: number,
): number => degreesOf(Math.atan(tan(palmarAngleDegrees) - heelMm / baseLengthMm));

/**
 * Palmar angle after the foot has turned onto the new plane: angle − atan(h / S). Exact for a rigid
 * foot; it reads lower than the planner's formula by less than the error of one reading.
 */
export const palmarAngleAfterRotationDegrees = (
  palmarAngleDegrees: number,
  heelMm: number,
  baseLengthMm: number,
): number => palmarAngleDegrees - degreesOf(Math.atan(heelMm / baseLengthMm));

/** Heel per visit, first visit first. Each visit takes the cap until the rest is less. */
export const stageHeel = (
  totalMm: number,
  perVisitMm: number = TRIM_SETTINGS.heelPerVisitMm.value,
): readonly number[] => {
  if (!(perVisitMm > 0)) throw new RangeError(`heel per visit must be over 0 mm: ${perVisitMm}`);
  // A hair over a whole number of visits is rounding, not another visit.
  const visits = Math.ceil(totalMm / perVisitMm - 1e-9);
  return Array.from({ length: Math.max(0, visits) }, (_, index) =>
    Math.min(perVisitMm, totalMm - index * perVisitMm),
  );
};
