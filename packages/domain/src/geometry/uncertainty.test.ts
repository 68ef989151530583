import { describe, expect, it } from "vitest";
import {
  dorsopalmarLandmarksOf,
  lateromedialLandmarksOf,
  measureDorsopalmar,
  measureLateromedial,
  type FilmPlacement,
  type FootShape,
  type FrontShape,
  type Measurement,
  type Point,
  type Scale,
} from "./index.ts";

/** Seeded generator, so that every run draws the same feet (mulberry32). */
const generator = (seed: number) => {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    between: (low: number, high: number): number => low + (high - low) * uniform(),
    gaussian: (): number =>
      Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
};
type Random = ReturnType<typeof generator>;

const randomShape = (r: Random): FootShape => {
  const wall = r.between(44, 58);
  const p3 = wall + r.between(-2, 14);
  return {
    wallAngleDegrees: wall,
    dorsalP3AngleDegrees: p3,
    p2AxisAngleDegrees: p3 + r.between(-10, 8),
    palmarAngleDegrees: r.between(-3, 16),
    soleDepthTipMm: r.between(6, 24),
    p3SolarLengthMm: r.between(40, 66),
    p3PalmarLengthMm: r.between(45, 68),
    hornLamellarDistalMm: r.between(13, 28),
    hornLamellarSpacingMm: r.between(25, 44),
    founderDistanceMm: r.between(-2, 22),
    breakoverDistanceMm: r.between(2, 46),
    breakoverFromFrogTipMm: r.between(20, 50),
    bearingLengthMm: r.between(85, 135),
    heelHeightMm: r.between(25, 60),
    foreProportionPercent: r.between(42, 68),
    centreOfRotationHeightMm: r.between(38, 55),
    articularRadiusMm: r.between(14, 22),
    markerLengthMm: 50,
  };
};

const randomPlacement = (r: Random): FilmPlacement => ({
  mmPerPx: r.between(0.08, 0.2),
  origin: { x: r.between(800, 1600), y: r.between(1200, 1900) },
  facing: r.between(0, 1) < 0.5 ? "left" : "right",
  tiltDegrees: r.between(-12, 12),
});

const jitter = <K extends string>(points: Record<K, Point>, sd: number, r: Random) =>
  Object.fromEntries(
    Object.entries<Point>(points).map(([key, p]) => [
      key,
      { x: p.x + sd * r.gaussian(), y: p.y + sd * r.gaussian() },
    ]),
  ) as Record<K, Point>;

const LENGTH_SD = 0.15;
const marker = (lengthMm: number): Scale => ({
  kind: "marker",
  lengthMm,
  lengthStandardUncertaintyMm: LENGTH_SD,
});
const SD_MM = 0.4;
const FEET = 600;
const DRAWS = 12;

interface Tally {
  inside: number;
  sum: number;
  count: number;
}
const tally = (
  tallies: Map<string, Tally>,
  truth: readonly Measurement[],
  read: readonly Measurement[],
) => {
  read.forEach((m, i) => {
    const value = truth[i]?.value;
    if (m.value === null || m.interval95 === null || value === null || value === undefined) {
      throw new Error(`${m.key} missing: ${m.missing ?? ""}`);
    }
    const t = tallies.get(m.key) ?? { inside: 0, sum: 0, count: 0 };
    t.inside += m.interval95.low <= value && value <= m.interval95.high ? 1 : 0;
    t.sum += m.value - value;
    t.count += 1;
    tallies.set(m.key, t);
  });
};
const expectHonest = (tallies: ReadonlyMap<string, Tally>) => {
  const dishonest = [...tallies]
    .map(([key, t]) => ({ key, coverage: t.inside / t.count, bias: t.sum / t.count }))
    .filter((m) => !(m.coverage > 0.93 && m.coverage < 0.97 && Math.abs(m.bias) < 0.1));
  expect(dishonest).toEqual([]);
};

describe("the stated uncertainty", () => {
  it(`covers the truth of ${FEET} random feet in 93–97 % of readings, with bias under 0.1`, () => {
    const r = generator(20260101);
    const tallies = new Map<string, Tally>();
    for (let foot = 0; foot < FEET; foot++) {
      const shape = randomShape(r);
      const placement = randomPlacement(r);
      const points = lateromedialLandmarksOf(shape, placement);
      const truth = measureLateromedial({ landmarks: points, scale: marker(50) });
      for (let draw = 0; draw < DRAWS; draw++) {
        const read = measureLateromedial({
          landmarks: jitter(points, SD_MM / placement.mmPerPx, r),
          scale: marker(50 + LENGTH_SD * r.gaussian()),
          landmarkStandardUncertaintyPx: SD_MM / placement.mmPerPx,
        });
        tally(tallies, truth, read);
      }
    }
    expect(tallies.size).toBeGreaterThanOrEqual(31);
    expectHonest(tallies);
  }, 60_000);

  it("covers the truth of random front views as well", () => {
    const r = generator(77);
    const tallies = new Map<string, Tally>();
    for (let foot = 0; foot < FEET; foot++) {
      const shape: FrontShape = {
        tiltDegrees: r.between(-5, 5),
        marginsApartMm: r.between(70, 95),
        foraminaApartMm: r.between(36, 48),
        soleDepthMedialMm: r.between(9, 22),
        jointSpaceMedialMm: r.between(1.5, 3.5),
        jointSpaceLateralMm: r.between(1.5, 3.5),
        wallDistanceMedialMm: r.between(12, 22),
        wallDistanceLateralMm: r.between(12, 22),
        wallAngleMedialDegrees: r.between(68, 85),
        wallAngleLateralDegrees: r.between(65, 82),
        coronaryBandTiltDegrees: r.between(-4, 4),
        coronaryBandHeightMm: r.between(55, 75),
        markerLengthMm: 50,
      };
      const placement = randomPlacement(r);
      const points = dorsopalmarLandmarksOf(shape, placement);
      const truth = measureDorsopalmar({ landmarks: points, scale: marker(50) });
      for (let draw = 0; draw < DRAWS; draw++) {
        const read = measureDorsopalmar({
          landmarks: jitter(points, SD_MM / placement.mmPerPx, r),
          scale: marker(50 + LENGTH_SD * r.gaussian()),
          landmarkStandardUncertaintyPx: SD_MM / placement.mmPerPx,
        });
        tally(tallies, truth, read);
      }
    }
    expectHonest(tallies);
  }, 60_000);

  it("agrees with Monte Carlo propagation through the same film (JCGM 101:2008, 5)", () => {
    const r = generator(101);
    for (let foot = 0; foot < 2; foot++) {
      const placement = randomPlacement(r);
      const points = lateromedialLandmarksOf(randomShape(r), placement);
      const scale = (length: number, offset: number): Scale => ({
        ...(marker(length) as Extract<Scale, { kind: "marker" }>),
        planeOffsetMm: 20 + offset,
        planeOffsetStandardUncertaintyMm: 6,
        focusToFootMm: 900,
      });
      const sdPx = SD_MM / placement.mmPerPx;
      const linear = measureLateromedial({
        landmarks: points,
        scale: scale(50, 0),
        landmarkStandardUncertaintyPx: sdPx,
      });
      const draws = Array.from({ length: 4000 }, () =>
        measureLateromedial({
          landmarks: jitter(points, sdPx, r),
          scale: scale(50 + LENGTH_SD * r.gaussian(), 6 * r.gaussian()),
        }).map((m) => m.value as number),
      );
      const ratios = linear.map((m, i) => {
        const values = draws.map((d) => d[i] as number);
        const mean = values.reduce((a, b) => a + b, 0) / values.length;
        const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / (values.length - 1));
        return { key: m.key, ratio: sd / (m.standardUncertainty as number) };
      });
      // 4000 draws fix a standard deviation to about 1.1 %; four of those, plus curvature.
      expect(ratios.filter((r) => !(Math.abs(r.ratio - 1) < 0.06))).toEqual([]);
    }
  }, 60_000);
});
