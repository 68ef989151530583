import { describe, expect, it } from "vitest";
import { definitionOf, type MeasuredFilm } from "../geometry/index.ts";
import { trimMeasuresOfFilm } from "./measures-from-film.ts";

const shape = {
  palmarAngleDegrees: 9,
  dorsalP3AngleDegrees: 58,
  dorsalWallAngleDegrees: 51,
};

const filmOn = (takenOn: string, readings: Readonly<Record<string, number>>): MeasuredFilm => ({
  film: { foot: "LF", view: "lateromedial", takenOn, wedgeDegrees: 0, centring: "coronary band" },
  measurements: Object.entries(readings).map(([key, value]) => ({
    key: definitionOf(key as never).key,
    value,
    standardUncertainty: 0.5,
  })),
});

const READINGS = {
  palmarAngleGround: shape.palmarAngleDegrees,
  dorsalWallAngle: shape.dorsalWallAngleDegrees,
  dorsalP3Angle: shape.dorsalP3AngleDegrees,
  soleDepthTip: 12,
  soleDepthWing: 20,
  hornLamellarProximal: 17,
  hornLamellarDistal: 21,
  breakoverDistance: 30,
  bearingLength: 95,
  p3SolarLength: 54,
};

describe("measures of a film for the planner", () => {
  it("are refused by name when one is missing, so that nobody plans on a guess", () => {
    const { soleDepthWing: _, ...rest } = READINGS;
    expect(trimMeasuresOfFilm(filmOn("2026-10-01", rest), undefined)).toEqual({
      ok: false,
      lacking: [definitionOf("soleDepthWing").label],
    });
  });

  it("put the frog tip behind the tip of P3 by the difference of the two breakover readings", () => {
    const film = filmOn("2026-10-01", { ...READINGS, breakoverFromFrogTip: 42 });
    const judged = trimMeasuresOfFilm(film, undefined);
    expect(judged.ok && judged.measures.frogTipToP3TipMm).toEqual({
      value: 12,
      standardUncertainty: Math.hypot(0.5, 0.5),
    });
  });

  it("put the centre of rotation behind the tip by what the lever is longer than breakover", () => {
    const film = filmOn("2026-10-01", {
      ...READINGS,
      leverArm: 62,
      centreOfRotationHeight: 40,
    });
    const judged = trimMeasuresOfFilm(film, undefined);
    expect(judged.ok && judged.measures.centreOfRotation).toEqual({ xMm: -32, heightMm: 40 });
  });

  it("carry the change of the founder distance since the film before", () => {
    const before = filmOn("2026-09-01", { ...READINGS, founderDistance: 9 });
    const now = filmOn("2026-10-01", { ...READINGS, founderDistance: 13.5 });
    const judged = trimMeasuresOfFilm(now, before);
    expect(judged.ok && judged.measures.founderChangeMm).toBeCloseTo(4.5, 9);
    const alone = trimMeasuresOfFilm(now, undefined);
    expect(alone.ok && alone.measures.founderChangeMm).toBeUndefined();
  });
});
