import { phantomFromMeasures } from "@heelward/radiograph/phantom";
import { describe, expect, it } from "vitest";
import { canRefine, edgeReachPx, refineMarks } from "./refine.ts";
import { landmarksOf } from "./landmarks.ts";
import type { Points } from "./workbench.ts";

/** A rendered film whose truth is known by construction. */
const MEASURES = {
  palmarAngleDegrees: 9,
  boneFrontAngleDegrees: 57,
  wallAngleDegrees: 51,
  wallToBoneTopMm: 16,
  wallToBoneBottomMm: 19.6,
  soleTipMm: 11.5,
  soleWingMm: 20,
  founderDistanceMm: 9,
  breakoverDistanceMm: 32,
  solarLengthMm: 54,
  wallSpanMm: 34,
};
const phantom = phantomFromMeasures(MEASURES);
const REACH_PX = 12;
const truth: Points = phantom.landmarksPx;
const shaken: Points = Object.fromEntries(
  Object.entries(truth).map(([key, point], index) => [
    key,
    { x: point.x + 2 * Math.sin(index * 2.1), y: point.y + 2 * Math.cos(index * 1.3) },
  ]),
);

/** Distance of a point from the line through two others. */
const offLine = (points: Points, truthOf: Points, a: string, b: string): number => {
  const [p, q, t] = [truthOf[a], truthOf[b], points[a]];
  if (p === undefined || q === undefined || t === undefined) throw new Error("not placed");
  const length = Math.hypot(q.x - p.x, q.y - p.y);
  return Math.abs((q.x - p.x) * (t.y - p.y) - (q.y - p.y) * (t.x - p.x)) / length;
};

describe("edge search from marks", () => {
  it("brings the wall line and the ground line nearer to where they were drawn", () => {
    const { moves } = refineMarks(phantom.film, "lateromedial", shaken, REACH_PX);
    const moved: Points = {
      ...shaken,
      ...Object.fromEntries(moves.map((move) => [move.key, move.to])),
    };
    for (const [a, b] of [
      ["coronaryBand", "wallDistal"],
      ["groundToe", "groundHeel"],
    ] as const)
      expect(offLine(moved, truth, a, b)).toBeLessThan(offLine(shaken, truth, a, b));
  });

  it("states where each mark was, so that the move can be drawn and undone", () => {
    const { moves } = refineMarks(phantom.film, "lateromedial", shaken, REACH_PX);
    expect(moves.length).toBeGreaterThan(4);
    for (const move of moves) expect(move.from).toEqual(shaken[move.key]);
  });

  it("touches only the edge asked for", () => {
    const { moves } = refineMarks(phantom.film, "lateromedial", shaken, REACH_PX, "wallDistal");
    expect(new Set(moves.map((move) => move.key))).toEqual(new Set(["coronaryBand", "wallDistal"]));
  });

  it("reaches as far in the foot on a fine film as on a coarse one: millimetres, not pixels", () => {
    const scale = { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 } as const;
    const edgeReach = { mm: 2, px: 12 };
    for (const detectorPitchMm of [0.34, 0.11]) {
      const [widthPx, heightPx] = [
        Math.round(204 / detectorPitchMm),
        Math.round(170 / detectorPitchMm),
      ];
      const rendered = phantomFromMeasures(MEASURES, {
        render: { widthPx, heightPx, detectorPitchMm },
      });
      const points: Points = rendered.landmarksPx;
      const reach = edgeReachPx({ scale }, points, { edgeReach });
      expect(reach * rendered.mmPerPx).toBeCloseTo(2, 1);
      // The ground line is drawn 1.6 mm too high at both ends: more than 12 pixels on the fine film.
      const off = 1.6 / rendered.mmPerPx;
      const raised = Object.fromEntries(
        Object.entries(points).map(([key, point]) => [
          key,
          key.startsWith("ground") ? { x: point.x, y: point.y - off } : point,
        ]),
      );
      const { moves } = refineMarks(rendered.film, "lateromedial", raised, reach, "groundToe");
      const moved: Points = Object.fromEntries(moves.map((move) => [move.key, move.to]));
      expect(
        offLine(moved, points, "groundToe", "groundHeel") * rendered.mmPerPx,
        `pitch ${String(detectorPitchMm)} mm`,
      ).toBeLessThan(0.3);
    }
    expect(edgeReachPx({ scale: { kind: "none" } }, truth, { edgeReach })).toBe(12);
  });

  it("says why it left an edge alone", () => {
    const blank = { ...phantom.film, pixels: new Uint16Array(phantom.film.pixels.length) };
    const { moves, unmoved } = refineMarks(blank, "lateromedial", truth, REACH_PX);
    expect(moves).toEqual([]);
    expect(unmoved.map((one) => one.id)).toContain("wall");
  });

  it("offers no edge for a point that lies on none, such as the frog tip", () => {
    expect(canRefine("lateromedial", "frogTip")).toBe(false);
    expect(canRefine("lateromedial", "p2Articular3")).toBe(true);
  });
});

describe("points of a view", () => {
  it("leaves the marker ends out where no marker gives the scale", () => {
    const keys = landmarksOf("lateromedial", false).map((one) => one.key);
    expect(keys).not.toContain("markerStart");
    expect(landmarksOf("lateromedial", true)).toHaveLength(keys.length + 2);
    expect(landmarksOf("dorsopalmar", true)).toHaveLength(16);
  });
});
