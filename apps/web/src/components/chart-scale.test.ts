import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { linear, roundTicks } from "./chart-scale.ts";

/** Readings as people take them: whole thousandths. */
const span = fc
  .tuple(fc.integer({ min: -1e7, max: 1e7 }), fc.integer({ min: 0, max: 1e7 }))
  .map(([low, width]) => ({ low: low / 1000, high: (low + width) / 1000 }));

describe("the axis of a chart", () => {
  it("covers every reading, so that no point leaves the drawing", () => {
    fc.assert(
      fc.property(span, ({ low, high }) => {
        const ticks = roundTicks(low, high, 4);
        expect(ticks[0]).toBeLessThanOrEqual(low + 1e-9 * Math.abs(low));
        expect(ticks.at(-1)).toBeGreaterThanOrEqual(high - 1e-9 * Math.abs(high));
      }),
    );
  });

  it("steps evenly by 1, 2 or 5 times a power of ten, so that people can read between the lines", () => {
    fc.assert(
      fc.property(span, ({ low, high }) => {
        const ticks = roundTicks(low, high, 4);
        const step = (ticks[1] ?? 0) - (ticks[0] ?? 0);
        const leading = Number(step.toExponential(6).split("e")[0]);
        expect([1, 2, 5, 10].some((factor) => Math.abs(leading - factor) < 1e-3)).toBe(true);
      }),
    );
  });

  it("draws a single reading without dividing by zero", () => {
    const ticks = roundTicks(15, 15, 4);
    expect(ticks.length).toBeGreaterThan(1);
    expect(Number.isFinite(linear(15, 15, 0, 100)(15))).toBe(true);
  });

  it("maps the ends of a range onto the ends of the drawing", () => {
    const y = linear(10, 20, 200, 0);
    expect([y(10), y(15), y(20)]).toEqual([200, 100, 0]);
  });
});
