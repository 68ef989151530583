import type { TrimInput } from "@heelward/domain/trim";
import { describe, expect, it } from "vitest";
import { whatIf } from "./what-if.ts";

const reading = (value: number) => ({ value, standardUncertainty: 0.9 });
/** The demonstration mare of the forecast's own tests: 6 mm left on 4 May, wall at 49 degrees, 7.2 mm in 30 days. */
const input: TrimInput = {
  foot: "LF",
  measures: {
    palmarAngleDegrees: reading(8),
    dorsalWallAngleDegrees: reading(49),
    dorsalP3AngleDegrees: reading(55),
    soleDepthTipMm: reading(14.5),
    soleDepthWingMm: reading(22),
    hornLamellarProximalMm: reading(16),
    hornLamellarDistalMm: reading(20),
    breakoverDistanceMm: reading(14.5),
    bearingLengthMm: reading(102.5),
    p3SolarLengthMm: reading(54),
    toeLengthMm: reading(85),
  },
  phase: "chronic active",
  animal: "horse",
  weightKg: 520,
  emergency: false,
  shoe: "glue-on",
  supportFill: "back-two-thirds",
  fixing: "glue",
  intervalDays: 28,
  ceilingDays: 35,
};
const plan = { toeBackMm: 8.5, breakoverFromP3TipMm: 6, limitMm: 12 };
const tried = (wish: Partial<Parameters<typeof whatIf>[3]>) =>
  whatIf(
    input,
    plan,
    { cv: 0.12 },
    { intervalDays: 28, heelRemoveMm: 3, growthMmPer30d: 7.2, ...wish },
    "2026-05-04",
  );
const tenth = (value: number) => Math.round(value * 10) / 10;

describe("what if", () => {
  it("sliding the interval from 28 to 35 days redraws breakover and how far the reset lies past the day the limit is met", () => {
    const four = tried({});
    const five = tried({ intervalDays: 35 });
    // Invented demonstration record: about 10.9 mm on day 28; the limit of 12 mm met on day 26 at the fast edge.
    expect(tenth(four.atReset.breakoverMm.mid)).toBe(10.9);
    // By hand: 6 + 7.2 / 30 × 35 days × 1.12 (May and June) × cos 49° = 12.17.
    expect(tenth(five.atReset.breakoverMm.mid)).toBe(12.2);
    expect(four.limit).toMatchObject({ early: { day: 26, on: "2026-05-30" }, mid: { day: 34 } });
    expect([four.slackDays, five.slackDays]).toEqual([-2, -9]);
    expect(five.series.at(-1)?.day).toBeGreaterThan(35);
  });

  it("faster growth meets the limit earlier, more heel off lowers the angle, and neither touches the other", () => {
    const fast = tried({ growthMmPer30d: 9 });
    expect(fast.limit?.early?.day).toBeLessThan(26);
    const low = tried({ heelRemoveMm: 5 });
    expect(low.atReset.palmarAngleDegrees.mid).toBeLessThan(
      tried({}).atReset.palmarAngleDegrees.mid,
    );
    expect(low.atReset.breakoverMm).toEqual(tried({}).atReset.breakoverMm);
  });

  it("meets no limit where the vet set none, and starts the toe where the bevel leaves it", () => {
    const { limitMm: _, ...rest } = plan;
    const free = whatIf(
      input,
      { ...rest, limitMm: null },
      { cv: 0.12 },
      { intervalDays: 28, heelRemoveMm: 3, growthMmPer30d: 7.2 },
      "2026-05-04",
    );
    expect(free.limit).toBeNull();
    expect(free.series[0]?.toeLengthMm.mid).toBeLessThanOrEqual(85);
  });
});
