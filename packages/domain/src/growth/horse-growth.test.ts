import { linearRegression } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { addDays } from "../time/index.ts";
import { growthValues, horseGrowth, publishedRate, seasonDays } from "./index.ts";

// New-growth line readings of a horse that grows 7.2 mm in 30 days, with errors of about a millimetre.
const errors = [0.6, -0.9, 0.4, 1.1, -1.2, 0.2];
const readings = (count: number) =>
  Array.from({ length: count }, (_, index) => ({
    on: addDays("2026-01-12", 28 * index),
    distanceMm: 5 + (7.2 / 30) * seasonDays("2026-01-12", 28 * index) + (errors[index] ?? 0),
  }));
const prior = publishedRate("horse");

describe("the growth a forecast goes by", () => {
  it("is the published rate, then the figure on the record, and from the third reading the horse's own", () => {
    expect(horseGrowth({ prior })).toMatchObject({
      growthMmPer30d: 7.5,
      basis: "published rate",
      readingsWanting: 3,
    });
    expect(horseGrowth({ prior, writtenMmPer30d: 6.8, lineReadings: readings(2) })).toMatchObject({
      growthMmPer30d: 6.8,
      cv: 0.12,
      basis: "figure on the horse's record",
      readingsWanting: 1,
      publishedMmPer30d: 7.5,
    });
    const own = horseGrowth({ prior, writtenMmPer30d: 6.8, lineReadings: readings(3) });
    expect(own.basis).toBe("own readings with the published rate");
    expect(own.growthMmPer30d).not.toBe(6.8);
    expect(own.cv).not.toBe(0.12);
  });

  it("lies between the published rate and the least-squares slope of a general library, nearer with each reading", () => {
    // source of the slope: simple-statistics 7 (npm), linearRegression
    const distances = [3, 4, 5, 6].map((count) => {
      const series = readings(count);
      const slope = linearRegression(
        series.map((one) => [
          seasonDays("2026-01-12", 28 * series.indexOf(one)) / 30,
          one.distanceMm,
        ]),
      ).m;
      const rate = horseGrowth({ prior, lineReadings: series }).growthMmPer30d;
      expect(rate).toBeGreaterThanOrEqual(Math.min(7.5, slope));
      expect(rate).toBeLessThanOrEqual(Math.max(7.5, slope));
      return Math.abs(rate - slope) / Math.abs(7.5 - slope);
    });
    expect(distances.toSorted((a, b) => b - a)).toEqual(distances);
  });

  it("goes by the figures a practice set for itself", () => {
    const values = growthValues({ "growth.readings-to-replace-default": 5, "growth.cv": 0.2 });
    expect(
      horseGrowth({ prior, writtenMmPer30d: 6.8, lineReadings: readings(4), values }),
    ).toMatchObject({ growthMmPer30d: 6.8, cv: 0.2, readingsWanting: 1 });
  });
});
