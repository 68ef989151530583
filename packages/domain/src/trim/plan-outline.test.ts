import { describe, expect, it } from "vitest";
import { randomTrimInput, seeded } from "../../bench/random-foot.ts";
import { planOutline, proposeTrim } from "./index.ts";
import type { OutlineId, TrimInput } from "./index.ts";

const mm = (value: number) => ({ value, standardUncertainty: 0.9 });
const input: TrimInput = {
  foot: "LF",
  measures: {
    palmarAngleDegrees: mm(10),
    dorsalWallAngleDegrees: mm(50),
    dorsalP3AngleDegrees: mm(55),
    soleDepthTipMm: mm(14),
    soleDepthWingMm: mm(25),
    hornLamellarProximalMm: mm(16),
    hornLamellarDistalMm: mm(21),
    breakoverDistanceMm: mm(25),
    bearingLengthMm: mm(113),
    p3SolarLengthMm: mm(60),
    frogTipToP3TipMm: mm(12),
    toeLengthMm: mm(85),
  },
  phase: "chronic active",
  animal: "horse",
  weightKg: 450,
  emergency: false,
  shoe: "heart-bar",
  supportFill: "none",
  fixing: "nails",
  intervalDays: 28,
  ceilingDays: 35,
};

describe("the drawing of a plan", () => {
  const proposal = proposeTrim(input);
  const outline = planOutline(input, proposal.plan);
  const points = (id: OutlineId) => outline.lateral.find((shape) => shape.id === id)?.points ?? [];

  it("draws the heel that comes off at the heel and nothing under the tip", () => {
    const [heel, pivot] = points("trim-line");
    expect(heel).toEqual({ x: -88, y: proposal.plan.heelRemoveMm });
    expect(pivot?.y).toBeCloseTo(0, 12);
    expect(pivot?.x).toBeCloseTo(0, 12);
  });

  it("draws the bone where the film shows it: palmar angle and sole read back from the points", () => {
    const [, tip, wing] = points("bone");
    if (tip === undefined || wing === undefined) throw new Error("no bone");
    expect(tip.y).toBe(14);
    expect((Math.atan2(wing.y - tip.y, tip.x - wing.x) * 180) / Math.PI).toBeCloseTo(10, 9);
  });

  it("puts breakover at the planned distance in both views", () => {
    expect(points("breakover")[0]?.x).toBe(proposal.plan.breakoverFromP3TipMm);
    const below = outline.solar.find((shape) => shape.id === "breakover");
    expect(below?.points[0]?.x).toBe(proposal.plan.breakoverFromP3TipMm);
  });

  it("meets the dressed wall with the bevel", () => {
    const end = points("bevel")[1];
    const start = points("wall-after")[0];
    if (end === undefined || start === undefined) throw new Error("no bevel");
    // The bevel's end lies on the wall line, which rises backwards at 50 degrees.
    expect(Math.atan2(end.y, start.x - end.x) * (180 / Math.PI)).toBeCloseTo(50, 6);
  });

  it("starts the frog plate 10 mm behind the frog tip", () => {
    expect(points("frog-plate")[0]?.x).toBe(-22);
  });

  it("is finite and bears behind breakover on random feet", () => {
    const random = seeded(11);
    for (let index = 0; index < 500; index += 1) {
      const foot = randomTrimInput(random);
      const drawn = planOutline(foot, proposeTrim(foot).plan);
      const all = [...drawn.lateral, ...drawn.solar].flatMap((shape) => [
        ...shape.points,
        ...(shape.hole ?? []),
      ]);
      expect(all.every((p) => Number.isFinite(p.x) && Number.isFinite(p.y))).toBe(true);
      const breakover = drawn.solar.find((shape) => shape.id === "breakover")?.points[0]?.x ?? 0;
      const bearing = drawn.solar.filter((shape) => shape.id === "bearing" || shape.id === "fill");
      expect(bearing.every((shape) => shape.points.every((p) => p.x <= breakover + 1e-9))).toBe(
        true,
      );
    }
  });
});
