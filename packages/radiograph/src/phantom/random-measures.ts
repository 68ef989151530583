import type { LateromedialMeasures } from "./lateromedial-measures.ts";
import type { RandomStream } from "./random.ts";

/**
 * Measures of a random but consistent foot, from sound to badly rotated. The ranges enclose those
 * of published series (house rule); lengths are millimetres, angles degrees.
 */
export const randomLateromedialMeasures = (random: RandomStream): LateromedialMeasures => {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const radians = Math.PI / 180;
  const palmarAngleDegrees = between(1, 14);
  const rotationDegrees = between(0, 11);
  const boneFrontAngleDegrees = palmarAngleDegrees + between(45.5, 49.5);
  const solarLengthMm = between(40, 66);
  const wallSpanMm = 0.64 * solarLengthMm;
  const wallToBoneTopMm = between(11.5, 18);
  const soleTipMm = between(8, 17.5);
  return {
    palmarAngleDegrees,
    boneFrontAngleDegrees,
    wallAngleDegrees: boneFrontAngleDegrees - rotationDegrees,
    wallToBoneTopMm,
    wallToBoneBottomMm: wallToBoneTopMm + wallSpanMm * Math.tan(rotationDegrees * radians),
    soleTipMm,
    soleWingMm: soleTipMm + solarLengthMm * Math.sin(palmarAngleDegrees * radians),
    founderDistanceMm: between(4, 15),
    breakoverDistanceMm: between(5, 25),
    solarLengthMm,
    wallSpanMm,
    phalangealRotationDegrees: between(-2, 8),
  };
};
