import { describe, expect, it } from "vitest";
import type { Film } from "../film/film.ts";
import type { LateromedialKey } from "../landmarks/landmarks.ts";
import {
  lateromedialGeometry,
  normalFrom,
  randomLateromedialMeasures,
  randomStream,
  renderPhantom,
} from "../phantom/index.ts";
import { fitCircle, refineCircle, refineLine, refinePoint, type FilmPoint } from "./index.ts";

const filmOf = (
  widthPx: number,
  heightPx: number,
  shade: (x: number, y: number) => number,
): Film => ({
  source: "phantom",
  widthPx,
  heightPx,
  bitsStored: 16,
  pixels: Uint16Array.from({ length: widthPx * heightPx }, (_, index) =>
    Math.round(shade(index % widthPx, Math.floor(index / widthPx))),
  ),
  tags: {},
});

/** A blurred step along a line at a given angle: its true place is known from the formula alone. */
const slantedStep = (angleDegrees: number, offsetPx: number): Film => {
  const nx = Math.cos((angleDegrees * Math.PI) / 180);
  const ny = Math.sin((angleDegrees * Math.PI) / 180);
  return filmOf(
    120,
    100,
    (x, y) => 20_000 + 12_000 * Math.tanh(((x - 60) * nx + (y - 50) * ny - offsetPx) / 1.6),
  );
};

const spread = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

describe("moving a point onto an edge", () => {
  it("finds an analytic edge to a fiftieth of a pixel at any angle and offset", () => {
    for (let angle = 0; angle < 360; angle += 17) {
      for (const offset of [-3.37, 0, 0.25, 2.81]) {
        const normal = {
          x: Math.cos((angle * Math.PI) / 180),
          y: Math.sin((angle * Math.PI) / 180),
        };
        const result = refinePoint(slantedStep(angle, offset), { x: 60, y: 50 }, normal, 8);
        const along = (result.point.x - 60) * normal.x + (result.point.y - 50) * normal.y;
        expect(result.moved).toBe(true);
        expect(Math.abs(along - offset)).toBeLessThan(0.02);
        expect(result.shiftPx).toBeCloseTo(Math.abs(along), 6);
      }
    }
  });

  it("takes only the kind of edge that was asked for", () => {
    const film = filmOf(80, 40, (x) => (x > 30 && x < 46 ? 50_000 : 10_000));
    const start = { x: 38, y: 20 };
    const across = { x: 1, y: 0 };
    const falling = refinePoint(film, start, across, 12, { polarity: "falling" });
    const rising = refinePoint(film, start, across, 12, { polarity: "rising" });
    expect(falling.point.x).toBeCloseTo(45.5, 1);
    expect(rising.point.x).toBeCloseTo(30.5, 1);
  });

  it("stays where it is on an empty film, at the rim, and with no direction", () => {
    const flat = filmOf(60, 60, (x, y) => 9_000 + ((x * 7 + y * 13) % 11));
    const start = { x: 30, y: 30 };
    for (const [point, normal] of [
      [start, { x: 1, y: 0 }],
      [
        { x: 1, y: 1 },
        { x: 1, y: 0 },
      ],
      [start, { x: 0, y: 0 }],
      [
        { x: Number.NaN, y: 3 },
        { x: 1, y: 0 },
      ],
      [
        { x: 1e9, y: 3 },
        { x: 1, y: 0 },
      ],
    ] as const) {
      const result = refinePoint(flat, point, normal, 10);
      expect(result).toMatchObject({ moved: false, reason: "no-edge", point, from: point });
    }
  });
});

describe("laying a line onto an edge", () => {
  it("recovers angle and place of an analytic edge, and keeps the old line for undo", () => {
    const film = slantedStep(28, 1.3);
    const direction = { x: -Math.sin((28 * Math.PI) / 180), y: Math.cos((28 * Math.PI) / 180) };
    const place = (t: number, off: number): FilmPoint => ({
      x: 60 + direction.x * t + Math.cos((28 * Math.PI) / 180) * off,
      y: 50 + direction.y * t + Math.sin((28 * Math.PI) / 180) * off,
    });
    const a = place(-35, -2.5);
    const b = place(35, 4);
    const result = refineLine(film, a, b, 9);
    const angle = Math.atan2(result.b.y - result.a.y, result.b.x - result.a.x);
    expect(result.moved).toBe(true);
    expect(Math.abs((angle * 180) / Math.PI - 118)).toBeLessThan(0.05);
    expect(result.from).toEqual({ a, b });
    expect(result.samples.length).toBeGreaterThan(20);
    expect(result.rmsPx).toBeLessThan(0.05);
  });

  it("is not pulled by a foreign edge along a third of its length", () => {
    const film = filmOf(160, 60, (x, y) =>
      x > 100 ? (y > 36 ? 45_000 : 12_000) : y > 30 ? 45_000 : 12_000,
    );
    const result = refineLine(film, { x: 10, y: 32 }, { x: 150, y: 31 }, 10);
    expect(result.a.y).toBeCloseTo(30.5, 1);
    expect(result.b.y).toBeCloseTo(30.5, 1);
    expect(result.samples.filter(({ isUsed }) => !isUsed).length).toBeGreaterThan(8);
  });

  it("does not move without an edge, nor where the edges disagree", () => {
    const flat = filmOf(80, 60, () => 9_000);
    const ends = [
      { x: 10, y: 30 },
      { x: 70, y: 30 },
    ] as const;
    expect(refineLine(flat, ...ends, 8)).toMatchObject({ moved: false, reason: "too-few-edges" });
    expect(refineLine(flat, ends[0], ends[0], 8)).toMatchObject({ reason: "not-enough-points" });
    const random = randomStream(5);
    const rows = Array.from({ length: 80 }, () => 22 + 16 * random());
    const ragged = filmOf(80, 60, (x, y) => (y > rows[x]! ? 45_000 : 9_000));
    const result = refineLine(ragged, ...ends, 12, { averagingPx: 0 });
    if (result.moved) expect(result.rmsPx).toBeGreaterThan(0.5);
    else expect(result.reason).toBe("edges-disagree");
  });
});

describe("laying a circle onto an edge", () => {
  it("fits points on a known circle exactly", () => {
    const points = [0, 0.7, 1.1, 1.9].map((angle) => ({
      x: 40 + 25 * Math.cos(angle),
      y: -3 + 25 * Math.sin(angle),
    }));
    const circle = fitCircle(points)!;
    expect(circle.centre.x).toBeCloseTo(40, 9);
    expect(circle.centre.y).toBeCloseTo(-3, 9);
    expect(circle.radiusPx).toBeCloseTo(25, 9);
    expect(fitCircle([1, 2, 3].map((x) => ({ x, y: 2 * x })))).toBeUndefined();
  });

  it("recovers an analytic disc from an arc of it", () => {
    const film = filmOf(
      160,
      160,
      (x, y) => 25_000 - 15_000 * Math.tanh((Math.hypot(x - 81.3, y - 77.8) - 44.6) / 1.5),
    );
    const random = randomStream(8);
    const points = [20, 50, 80, 110, 150].map((angle) => ({
      x: 81.3 + 44.6 * Math.cos((angle * Math.PI) / 180) + 2 * normalFrom(random),
      y: 77.8 + 44.6 * Math.sin((angle * Math.PI) / 180) + 2 * normalFrom(random),
    }));
    const result = refineCircle(film, points, 10);
    expect(result.moved).toBe(true);
    expect(Math.hypot(result.circle!.centre.x - 81.3, result.circle!.centre.y - 77.8)).toBeLessThan(
      0.1,
    );
    expect(Math.abs(result.circle!.radiusPx - 44.6)).toBeLessThan(0.1);
    for (const { x, y } of result.points) {
      const { centre, radiusPx } = result.circle!;
      expect(Math.hypot(x - centre.x, y - centre.y)).toBeCloseTo(radiusPx, 9);
    }
  });

  it("does not move with two points or on an empty film", () => {
    const flat = filmOf(60, 60, () => 5_000);
    const two = [
      { x: 3, y: 3 },
      { x: 9, y: 9 },
    ];
    expect(refineCircle(flat, two, 5)).toMatchObject({ moved: false, reason: "not-enough-points" });
    const three = [...two, { x: 20, y: 9 }];
    expect(refineCircle(flat, three, 5)).toMatchObject({
      moved: false,
      points: three,
      from: three,
    });
  });
});

describe("on phantom films with shaky hands", () => {
  /**
   * Points shaken by 0.6 mm, about what repeat readings of hoof radiographs scatter by (house
   * rule until the practice has its own repeat-reading study).
   */
  const shakeMm = 0.6;
  const lines: readonly (readonly [string, LateromedialKey, LateromedialKey])[] = [
    ["front wall", "coronaryBand", "wallDistal"],
    ["front of P3", "p3DorsalProximal", "p3Tip"],
    ["solar margin", "p3Tip", "p3Wing"],
    ["ground", "groundHeel", "groundToe"],
  ];
  const random = randomStream(77);
  const films = Array.from({ length: 10 }, (_, seed) =>
    renderPhantom(lateromedialGeometry(randomLateromedialMeasures(random)), {
      widthPx: 900,
      heightPx: 750,
      detectorPitchMm: 0.23,
      seed,
      noise: 0.004 + 0.008 * random(),
    }),
  );
  const shaken = (point: FilmPoint, byPx: number): FilmPoint => ({
    x: point.x + byPx * normalFrom(random),
    y: point.y + byPx * normalFrom(random),
  });

  for (const [name, from, to] of lines) {
    it(`at least halves the spread of angle and place of the ${name}, without bias`, () => {
      const before = { angle: [] as number[], off: [] as number[] };
      const after = { angle: [] as number[], off: [] as number[] };
      for (const { film, landmarksPx, mmPerPx } of films) {
        const [a, b] = [landmarksPx[from], landmarksPx[to]];
        const length = Math.hypot(b.x - a.x, b.y - a.y);
        const normal = { x: (b.y - a.y) / length, y: (a.x - b.x) / length };
        const record = (into: typeof before, p: FilmPoint, q: FilmPoint): void => {
          const turn = Math.atan2(q.y - p.y, q.x - p.x) - Math.atan2(b.y - a.y, b.x - a.x);
          into.angle.push((turn * 180) / Math.PI);
          into.off.push(((p.x - a.x) * normal.x + (p.y - a.y) * normal.y) * mmPerPx);
        };
        for (let trial = 0; trial < 8; trial += 1) {
          const p = shaken(a, shakeMm / mmPerPx);
          const q = shaken(b, shakeMm / mmPerPx);
          const refined = refineLine(film, p, q, 2 / mmPerPx);
          record(before, p, q);
          record(after, refined.a, refined.b);
        }
      }
      expect(spread(after.angle)).toBeLessThan(spread(before.angle) / 2);
      expect(spread(after.off)).toBeLessThan(spread(before.off) / 2);
      const bias = after.off.reduce((sum, value) => sum + value, 0) / after.off.length;
      expect(Math.abs(bias)).toBeLessThan(0.1);
    });
  }

  it("at least halves the spread of the centre of rotation, without bias", () => {
    const before: number[] = [];
    const after: number[] = [];
    const biases: FilmPoint[] = [];
    for (const { film, landmarksPx, mmPerPx, truth } of films) {
      const points = ([1, 2, 3, 4, 5] as const).map((which) => landmarksPx[`p2Articular${which}`]);
      const centre = fitCircle(points)!.centre;
      expect(truth.jointRadiusMm / mmPerPx).toBeCloseTo(fitCircle(points)!.radiusPx, 6);
      for (let trial = 0; trial < 8; trial += 1) {
        const moved = points.map((point) => shaken(point, shakeMm / mmPerPx));
        const placed = fitCircle(moved)!.centre;
        const refined = refineCircle(film, moved, 1.6 / mmPerPx, { polarity: "falling" });
        const found = (refined.circle ?? fitCircle(moved)!).centre;
        before.push(Math.hypot(placed.x - centre.x, placed.y - centre.y) * mmPerPx);
        after.push(Math.hypot(found.x - centre.x, found.y - centre.y) * mmPerPx);
        biases.push({ x: (found.x - centre.x) * mmPerPx, y: (found.y - centre.y) * mmPerPx });
      }
    }
    expect(spread(after)).toBeLessThan(spread(before) / 2);
    const meanOf = (pick: (point: FilmPoint) => number): number =>
      biases.reduce((sum, point) => sum + pick(point), 0) / biases.length;
    expect(Math.abs(meanOf(({ x }) => x))).toBeLessThan(0.1);
    expect(Math.abs(meanOf(({ y }) => y))).toBeLessThan(0.1);
  });
});
