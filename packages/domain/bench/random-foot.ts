import type { Foot, Reading, TrimInput } from "../src/trim/index.ts";
import { FEET, FILL_CATALOGUE, SHOE_CATALOGUE } from "../src/trim/index.ts";

/** Numbers in [0, 1) from a seed: mulberry32, 32-bit arithmetic. */
export const seeded = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
};

/** A foot between sound and badly foundered, pony to heavy horse, measured well or badly. */
export const randomTrimInput = (random: () => number): TrimInput => {
  const within = (low: number, high: number): number => low + (high - low) * random();
  const one = <T>(list: readonly T[], fallback: T): T =>
    list[Math.floor(random() * list.length)] ?? fallback;
  const maybe = (chance: number): boolean => random() < chance;
  const reading = (low: number, high: number, most: number): Reading => ({
    value: within(low, high),
    standardUncertainty: within(0, most),
  });
  const rotation = within(-2, 15);
  const wall = reading(38, 62, 1.5);
  const proximal = reading(10, 25, 1.5);
  const breakover = reading(-5, 60, 1.5);
  const wedge = maybe(0.1) ? within(1, 6) : 0;
  const low = within(2, 6);
  const breakoverLow = within(0, 6);
  return {
    foot: one<Foot>(FEET, "LF"),
    phase: one(["acute", "subacute", "chronic active", "maintenance"] as const, "acute"),
    animal: one(["horse", "pony", "donkey"] as const, "horse"),
    weightKg: within(80, 900),
    emergency: maybe(0.1),
    shoe: one(
      SHOE_CATALOGUE.map((shoe) => shoe.id),
      "bare",
    ),
    supportFill: one(
      FILL_CATALOGUE.map((fill) => fill.id),
      "none",
    ),
    fixing: "glue",
    intervalDays: Math.round(within(3, 60)),
    ceilingDays: Math.round(within(7, 42)),
    measures: {
      palmarAngleDegrees: reading(-6 + wedge, 22 + wedge, 1.2),
      dorsalWallAngleDegrees: { ...wall, value: wall.value + wedge },
      dorsalP3AngleDegrees: { ...wall, value: wall.value + wedge + rotation },
      soleDepthTipMm: reading(3, 24, 1.5),
      soleDepthWingMm: reading(6, 32, 1.5),
      hornLamellarProximalMm: proximal,
      hornLamellarDistalMm: {
        value: proximal.value + within(-2, 15),
        standardUncertainty: within(0, 1.5),
      },
      breakoverDistanceMm: breakover,
      bearingLengthMm: {
        value: Math.max(0, breakover.value) + within(60, 110),
        standardUncertainty: within(0, 1.5),
      },
      p3SolarLengthMm: reading(35, 75, 1),
      wedgeInPlaceDegrees: wedge,
      centreOfRotation: { xMm: within(-45, -20), heightMm: within(30, 60) },
      ...(maybe(0.7) ? { frogTipToP3TipMm: reading(-5, 25, 1) } : {}),
      ...(maybe(0.5) ? { founderChangeMm: within(-4, 6) } : {}),
    },
    ...(maybe(0.6)
      ? {
          targets: {
            palmarAngleDegrees: { low, high: low + within(1, 4) },
            breakoverMm: { low: breakoverLow, high: breakoverLow + within(1, 6) },
            ...(maybe(0.5) ? { soleMinMm: within(6, 16) } : {}),
            ...(maybe(0.5) ? { heelRemoveMaxMm: within(0, 14) } : {}),
          },
        }
      : {}),
    ...(maybe(0.5)
      ? {
          growth: {
            startOn: `2026-${String(1 + Math.floor(random() * 12)).padStart(2, "0")}-15`,
            growthMmPer30d: within(4, 12),
            cv: within(0.05, 0.3),
            limitMm: within(8, 25),
          },
        }
      : {}),
  };
};
