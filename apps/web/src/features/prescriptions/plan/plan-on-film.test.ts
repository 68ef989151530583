import { measureLateromedial } from "@heelward/domain/geometry";
import { ontoFilm } from "@heelward/domain/trim";
import { phantomFromMeasures } from "@heelward/radiograph/phantom";
import { describe, expect, it } from "vitest";

const SCALE = { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 } as const;
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

describe("drawing a plan onto its film", () => {
  it.each([
    ["left", 0],
    ["right", 3],
  ] as const)(
    "lands on the marks of a phantom that points %s and lies %d° askew",
    (pointsTo, tiltDegrees) => {
      const { landmarksPx } = phantomFromMeasures(MEASURES, { render: { pointsTo, tiltDegrees } });
      const measures = measureLateromedial({ landmarks: landmarksPx, scale: SCALE });
      const valueOf = (key: string) => measures.find((one) => one.key === key)?.value ?? Number.NaN;
      const place = ontoFilm(landmarksPx, SCALE);
      expect(place).toBeDefined();
      if (place === undefined) return;
      const near = (mm: { x: number; y: number }, px: { x: number; y: number }) => {
        const at = place(mm);
        expect(Math.hypot(at.x - px.x, at.y - px.y)).toBeLessThan(0.5);
      };
      near({ x: 0, y: valueOf("soleDepthTip") }, landmarksPx.p3Tip);
      near({ x: valueOf("breakoverDistance"), y: 0 }, landmarksPx.breakover);
    },
  );

  it("draws nothing where the millimetre is not known", () => {
    const { landmarksPx } = phantomFromMeasures(MEASURES);
    expect(ontoFilm(landmarksPx, { kind: "none" })).toBeUndefined();
  });
});
