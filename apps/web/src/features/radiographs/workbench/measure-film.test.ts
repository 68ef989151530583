import { LATEROMEDIAL_DEFINITIONS } from "@heelward/domain/geometry";
import { phantomFromMeasures } from "@heelward/radiograph/phantom";
import { describe, expect, it } from "vitest";
import { grouped, halfInterval, measureFilm, signed } from "./measure-film.ts";

const FILM = {
  view: "lateromedial",
  scale: { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 },
  wedgeDegrees: 0,
  shod: false,
  groundLineOn: "ground",
} as const;
const FIGURES = { landmarkSpread: { mm: 0.4, px: 3 }, wedgeSdDegrees: 0.5 };
/** A rendered film whose truth is known by construction. */
const phantom = phantomFromMeasures({
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
});

describe("measuring while points are moved", () => {
  const measures = measureFilm(FILM, "horse", phantom.landmarksPx, FIGURES);
  const of = (key: string) => measures.find((one) => one.key === key);

  it("gives the phantom's own sole depth and angle", () => {
    expect(of("soleDepthTip")?.value).toBeCloseTo(phantom.truth.soleTipMm, 1);
    expect(of("palmarAngleGround")?.value).toBeCloseTo(phantom.truth.palmarAngleDegrees, 1);
  });

  it("refuses millimetres without a scale and keeps the angles", () => {
    const without = measureFilm(
      { ...FILM, scale: { kind: "none" } },
      "horse",
      phantom.landmarksPx,
      FIGURES,
    );
    expect(without.find((one) => one.key === "soleDepthTip")).toMatchObject({
      value: null,
      missing: expect.stringContaining("no scale"),
    });
    expect(without.find((one) => one.key === "palmarAngleGround")?.value).toBeCloseTo(9, 1);
  });

  it("shows every measure once, whatever group it is in", () => {
    const shown = grouped(measures).flatMap(({ items }) => items.map((one) => one.key));
    expect(shown.toSorted()).toEqual(LATEROMEDIAL_DEFINITIONS.map((one) => one.key).toSorted());
  });
});

describe("figures in words", () => {
  const say = (value: number, digits: number) => value.toFixed(digits);

  it("a difference that rounds to nothing carries no sign", () => {
    expect(signed(-0.04, 1, say)).toBe("0.0");
    expect(signed(-4.26, 1, say)).toBe("−4.3");
    expect(signed(0.5, 1, say)).toBe("+0.5");
  });

  it("the half interval is half of what lies between its ends", () => {
    expect(halfInterval({ low: 8, high: 11 })).toBe(1.5);
    expect(halfInterval(null)).toBeNull();
  });
});
