import { Circle as LibraryCircle, Point as LibraryPoint } from "@flatten-js/core";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitCircle, fitDualCircle } from "./circle-fit.ts";
import { derivative, gradientSpace, variable } from "./dual.ts";

const onCircle = (x: number, y: number, radius: number, degrees: number) => ({
  x: x + radius * Math.cos((degrees * Math.PI) / 180),
  y: y + radius * Math.sin((degrees * Math.PI) / 180),
});
const ROUGH = [
  { x: 10.2, y: 0.3 },
  { x: 7.1, y: -7.4 },
  { x: -0.4, y: -9.7 },
  { x: -6.8, y: -7.2 },
  { x: -10.3, y: 0.1 },
];

describe("fitCircle", () => {
  it("finds the circle that a geometry library walked along", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -500, max: 2000, noNaN: true }),
        fc.double({ min: -500, max: 2000, noNaN: true }),
        fc.double({ min: 60, max: 250, noNaN: true }),
        fc.double({ min: 0, max: 6, noNaN: true }),
        (x, y, radius, start) => {
          // The library places points along its own arc; the fit must find the circle back.
          const arc = new LibraryCircle(new LibraryPoint(x, y), radius).toArc();
          const points = [0, 0.08, 0.16, 0.24, 0.32].map((share) => {
            const p = arc.pointAtLength(((share + start / 20) % 1) * arc.length);
            return { x: p?.x ?? Number.NaN, y: p?.y ?? Number.NaN };
          });
          const fitted = fitCircle(points);
          expect(fitted?.centre.x).toBeCloseTo(x, 4);
          expect(fitted?.centre.y).toBeCloseTo(y, 4);
          expect(fitted?.radius).toBeCloseTo(radius, 4);
        },
      ),
    );
  });

  it("gives the circumcircle of a right triangle: the middle of its longest side (Thales)", () => {
    const fitted = fitCircle([
      { x: 0, y: 0 },
      { x: 8, y: 0 },
      { x: 0, y: 6 },
    ]);
    expect(fitted?.centre.x).toBeCloseTo(4, 9);
    expect(fitted?.centre.y).toBeCloseTo(3, 9);
    expect(fitted?.radius).toBeCloseTo(5, 9);
  });

  it("refuses two points and points on one line, which have no circle", () => {
    expect(
      fitCircle([
        { x: 0, y: 0 },
        { x: 1, y: 1 },
      ]),
    ).toBeUndefined();
    expect(fitCircle([0, 1, 2, 3].map((t) => ({ x: t, y: 2 * t })))).toBeUndefined();
  });

  it("lies at the least sum of squares: any small move makes it larger", () => {
    const fitted = fitCircle(ROUGH);
    const cost = (x: number, y: number): number => {
      const d = ROUGH.map((p) => Math.hypot(p.x - x, p.y - y));
      const mean = d.reduce((a, b) => a + b, 0) / d.length;
      return d.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    };
    const { x, y } = fitted?.centre ?? { x: 0, y: 0 };
    for (let degrees = 0; degrees < 360; degrees += 15) {
      const near = onCircle(x, y, 0.01, degrees);
      expect(cost(near.x, near.y)).toBeGreaterThan(cost(x, y));
    }
  });

  it("carries the derivatives of the fit that finite differences give", () => {
    const space = gradientSpace(10);
    const dual = fitDualCircle(
      ROUGH.map((p, i) => ({ x: variable(p.x, 2 * i, space), y: variable(p.y, 2 * i + 1, space) })),
    );
    if (dual === undefined) throw new Error("fit");
    const step = 1e-4;
    for (let i = 0; i < 10; i++) {
      const moved = (by: number) =>
        fitCircle(
          ROUGH.map((p, j) => ({
            x: p.x + (i === 2 * j ? by : 0),
            y: p.y + (i === 2 * j + 1 ? by : 0),
          })),
        );
      const [up, down] = [moved(step), moved(-step)];
      if (up === undefined || down === undefined) throw new Error("fit");
      const slope = (a: number, b: number): number => (a - b) / (2 * step);
      expect(derivative(dual.centre.x, i)).toBeCloseTo(slope(up.centre.x, down.centre.x), 5);
      expect(derivative(dual.centre.y, i)).toBeCloseTo(slope(up.centre.y, down.centre.y), 5);
      expect(derivative(dual.radius, i)).toBeCloseTo(slope(up.radius, down.radius), 5);
    }
  });
});
