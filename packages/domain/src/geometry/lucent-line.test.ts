import { describe, expect, it } from "vitest";
import {
  measureLucentLine,
  type LucentLineInput,
  type LucentLineMeasure,
  type Point,
} from "./index.ts";

/** Wall at 45° from (0, 0) down to the right; 0.1 mm a pixel. Figures by hand. */
const along = (distance: number, across: number): Point => ({
  x: (distance - across) * Math.SQRT1_2 * 10,
  y: (distance + across) * Math.SQRT1_2 * 10,
});
const input = (
  outline: readonly Point[],
  change: Partial<LucentLineInput> = {},
): LucentLineInput => ({
  outline,
  coronaryBand: along(0, 0),
  wallDistal: along(80, 0),
  scale: { kind: "spacing", mmPerPx: 0.1, magnification: 1, relativeStandardUncertainty: 0.01 },
  landmarkStandardUncertaintyPx: 3,
  ...change,
});
/** A strip 30 mm long and 4 mm wide, from 20 mm below the coronary band, 8 mm behind the wall line. */
const STRIP = [along(20, 8), along(50, 8), along(50, 12), along(20, 12)];
const value = (key: LucentLineMeasure, outline = STRIP): number | null =>
  measureLucentLine(input(outline)).measurements.find((m) => m.key === key)?.value ?? null;

describe("measureLucentLine", () => {
  it.each<[LucentLineMeasure, number]>([
    ["lucentExtentAlongWall", 30],
    ["lucentStart", 20],
    ["lucentEnd", 50],
    ["lucentWidth", 4],
    ["lucentMeanWidth", 4],
    ["lucentLength", Math.hypot(30, 4)],
  ])("gives %s of a strip drawn along the wall", (key, expected) => {
    expect(value(key)).toBeCloseTo(expected, 9);
    expect(value(key, STRIP.toReversed())).toBeCloseTo(expected, 9);
  });

  it("gives the area with an uncertainty that grows with the outline", () => {
    const area = measureLucentLine(input(STRIP)).areaMm2;
    expect(area?.value).toBeCloseTo(120, 9);
    // Corners known to 0.3 mm and a 1 % scale: half the diagonals crosswise, and 2 % of the area.
    const corners = 0.3 * Math.SQRT1_2 * Math.SQRT2 * Math.hypot(30, 4);
    expect(area?.standardUncertainty).toBeCloseTo(Math.hypot(corners, 2.4), 6);
  });

  it("says that the contents are unknown and that opening the wall is for a vet to order", () => {
    const text = measureLucentLine(input(STRIP))
      .findings.map((f) => f.detail)
      .join(" ");
    expect(text).toContain("not known until it is opened");
    expect(text).toContain("signed by a vet");
  });

  it.each<[string, LucentLineInput]>([
    ["two points", input(STRIP.slice(0, 2))],
    ["crosses itself", input([STRIP[0], STRIP[2], STRIP[1], STRIP[3]] as Point[])],
    ["not a number", input([...STRIP, { x: Number.NaN, y: 0 }])],
    ["no scale", input(STRIP, { scale: { kind: "none" } })],
    ["too many points", input(Array.from({ length: 401 }, (_, i) => along(i, i % 2)))],
  ])("refuses an outline with %s, with the reason beside every measure", (_name, bad) => {
    const result = measureLucentLine(bad);
    expect(result.areaMm2).toBeNull();
    expect(result.findings.map((f) => f.outcome)).toEqual(["block"]);
    for (const m of result.measurements) expect(m.missing).toBe(result.findings[0]?.detail);
  });
});
