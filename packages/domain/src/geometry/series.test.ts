import { describe, expect, it } from "vitest";
import {
  checkFilm,
  compareFeet,
  compareFilms,
  compareMeasurements,
  detectSinking,
  heelRaiseFindings,
  lateromedialLandmarksOf,
  measureLateromedial,
  smallestRealChangeOf,
  type FilmContext,
  type FootShape,
  type LateromedialLandmark,
  type MeasuredFilm,
  type MeasureKey,
  type Point,
  type Reading,
} from "./index.ts";

/**
 * Invented series. Row: date, wedge, palmar angle, bone-front angle, wall angle, rotation, wall to bone
 * top and bottom, sole tip and wing, founder distance, breakover. Angles to the ground as it stood.
 */
type Row = readonly [string, ...number[]];
/** Bone angle, solar length, length along the wall. */
type Constants = readonly [number, number, number];

const reading = (key: MeasureKey, value: number): Reading => ({
  key,
  value,
  standardUncertainty: null,
});
const films = (
  foot: FilmContext["foot"],
  [, solar, spacing]: Constants,
  rows: readonly Row[],
): readonly MeasuredFilm[] =>
  rows.map(([takenOn, ...v]) => {
    const at = (i: number): number => v[i] ?? Number.NaN;
    return {
      film: {
        foot,
        view: "lateromedial",
        takenOn,
        wedgeDegrees: at(0),
        centring: "hoof-ground interface",
      },
      measurements: [
        reading("palmarAngleGround", at(1)),
        reading("palmarAngleFoot", at(1) - at(0)),
        reading("dorsalP3Angle", at(2)),
        reading("dorsalWallAngle", at(3)),
        reading("capsularRotation", at(4)),
        reading("hornLamellarProximal", at(5)),
        reading("hornLamellarDistal", at(6)),
        reading("soleDepthTip", at(7)),
        reading("soleDepthWing", at(8)),
        reading("founderDistance", at(9)),
        reading("breakoverDistance", at(10)),
        reading("p3SolarLength", solar),
        reading("hornLamellarSpacing", spacing),
      ],
    };
  });

const PONY = films(
  "LF",
  [49, 46, 28],
  [
    ["2026-07-08", 0, 6.5, 55.5, 53.0, 2.5, 13.5, 14.5, 11.5, 16.5, 8.0, 14.5],
    ["2026-08-14", 0, 5.5, 54.5, 52.5, 2.0, 13.5, 14.5, 13.0, 17.5, 7.5, 8.0],
    ["2026-10-09", 0, 4.5, 53.5, 52.5, 1.0, 13.0, 13.5, 15.0, 18.5, 7.0, 9.0],
  ],
);
const ROTATED_LEFT = films(
  "LF",
  [47, 54, 34],
  [
    ["2025-10-16", 0, 14.0, 61.0, 50.0, 11.0, 16.5, 23.0, 8.0, 21.0, 12.0, 46],
    ["2025-12-15", 0, 9.0, 56.0, 47.5, 8.5, 16.0, 21.0, 11.0, 19.5, 11.0, 17.0],
    ["2026-02-09", 0, 7.0, 54.0, 47.5, 6.5, 16.0, 20.0, 13.0, 19.5, 10.5, 10.0],
    ["2026-04-06", 0, 5.5, 52.5, 47.5, 5.0, 15.5, 18.5, 14.5, 19.5, 10.0, 10.5],
    ["2026-06-20", 0, 8.0, 55.0, 48.5, 6.5, 15.5, 19.5, 13.0, 20.5, 10.5, 14.5],
    ["2026-08-10", 0, 5.0, 52.0, 48.0, 4.0, 15.5, 18.0, 15.0, 19.5, 9.5, 10.5],
    ["2026-10-05", 0, 4.5, 51.5, 48.5, 3.0, 15.5, 17.5, 16.0, 20.0, 9.0, 10.5],
  ],
);
const ROTATED_RIGHT = films(
  "RF",
  [47.5, 54, 34],
  [
    ["2025-10-16", 0, 12.5, 60.0, 51.0, 9.0, 16.0, 21.5, 9.0, 20.5, 11.0, 46],
    ["2026-04-06", 0, 5.5, 53.0, 48.5, 4.5, 15.5, 18.0, 14.5, 19.5, 9.5, 10.5],
    ["2026-06-20", 0, 7.5, 55.0, 49.5, 5.5, 15.5, 19.0, 13.5, 20.5, 10.0, 14.5],
    ["2026-10-05", 0, 4.5, 52.0, 49.5, 2.5, 15.5, 17.0, 16.0, 20.0, 9.0, 10.5],
  ],
);
const SINKER = films(
  "LF",
  [47, 66, 42],
  [
    ["2026-02-16", 0, 3.0, 50.0, 49.5, 0.5, 18.5, 19.0, 17.0, 20.5, 10.0, 10.0],
    ["2026-02-20", 0, 3.0, 50.0, 49.5, 0.5, 20.5, 21.0, 15.0, 18.5, 13.0, 4.5],
    ["2026-02-24", 6, 9.0, 56.0, 55.0, 1.0, 23.0, 23.5, 11.0, 14.5, 18.0, 4.5],
    ["2026-02-27", 0, 3.0, 50.0, 49.0, 1.0, 24.0, 24.5, 10.0, 13.5, 19.5, 3.5],
    ["2026-03-05", 0, 3.0, 50.0, 48.5, 1.5, 25.0, 26.0, 8.5, 12.0, 21.0, 4.5],
  ],
);
const SEPSIS = films(
  "LF",
  [47, 63, 41],
  [
    ["2026-05-01", 0, 4.0, 51.0, 50.0, 1.0, 17.5, 18.0, 16.0, 20.5, 10.0, 10.0],
    ["2026-05-08", 0, 8.0, 55.0, 50.0, 5.0, 18.5, 22.0, 12.5, 21.5, 12.0, 11.0],
    ["2026-05-22", 0, 9.0, 56.0, 50.0, 6.0, 18.5, 23.0, 12.0, 22.0, 12.5, 6.0],
  ],
);
const SUPPORT_LIMB = films(
  "RF",
  [46.5, 62, 40],
  [
    ["2026-04-03", 0, 3.5, 50.0, 49.5, 0.5, 17.0, 17.5, 18.0, 22.0, 8.0, 13.0],
    ["2026-04-20", 0, 4.0, 50.5, 49.5, 1.0, 18.5, 19.0, 15.0, 19.5, 12.0, 12.0],
    ["2026-05-05", 0, 4.5, 51.0, 49.5, 1.5, 18.5, 19.5, 14.0, 19.0, 12.5, 7.5],
  ],
);

const nth = (series: readonly MeasuredFilm[], i: number): MeasuredFilm => {
  const film = series.at(i);
  if (film === undefined) throw new Error(`no film ${i}`);
  return film;
};
const changed = (film: MeasuredFilm, key: MeasureKey, by: number): MeasuredFilm => ({
  ...film,
  measurements: film.measurements.map((r) =>
    r.key === key ? { ...r, value: (r.value ?? 0) + by } : r,
  ),
});
const context = (film: MeasuredFilm, change: Partial<FilmContext>): MeasuredFilm => ({
  ...film,
  film: { ...film.film, ...change },
});

describe("compareMeasurements", () => {
  it("works out the smallest real change as 1.96·√2·SEM (house starting values 0.9 mm, 0.7°, 1.0 mm)", () => {
    expect(smallestRealChangeOf(0.9)).toBeCloseTo(2.49, 2);
    expect(smallestRealChangeOf(0.7)).toBeCloseTo(1.94, 2);
    expect(smallestRealChangeOf(1.0)).toBeCloseTo(2.77, 2);
  });

  it("calls rotation 2.5 → 1.0 not clearly different and sole 11.5 → 15.0 real", () => {
    const [first, last] = [nth(PONY, 0), nth(PONY, -1)];
    const rotation = compareMeasurements("capsularRotation", first, last);
    expect(rotation.verdict).toBe("within error");
    expect(rotation.text).toContain("not clearly different");
    expect(rotation.interval95?.low).toBeLessThan(0);
    expect(rotation.interval95?.high).toBeGreaterThan(0);
    const sole = compareMeasurements("soleDepthTip", first, last);
    expect(sole.verdict).toBe("real");
    expect(sole.text).toContain("real change: +3.5 mm");
    expect(sole.interval95?.low).toBeGreaterThan(0);
  });

  it("calls palmar angle 6.0 → 7.5 within error (differences of about 2° are not to be read alone)", () => {
    const base = nth(PONY, 0);
    const six = changed(base, "palmarAngleFoot", -0.5);
    const seven = changed(base, "palmarAngleFoot", 1);
    expect(compareMeasurements("palmarAngleFoot", six, seven).difference).toBeCloseTo(1.5, 9);
    expect(compareMeasurements("palmarAngleFoot", six, seven).verdict).toBe("within error");
  });

  it("calls the overdue reset's palmar angle real, its rotation and sole not clearly different", () => {
    const [april, june] = [nth(ROTATED_LEFT, 3), nth(ROTATED_LEFT, 4)];
    expect(compareMeasurements("palmarAngleGround", april, june).verdict).toBe("real");
    expect(compareMeasurements("capsularRotation", april, june).verdict).toBe("within error");
    expect(compareMeasurements("soleDepthTip", april, june).verdict).toBe("within error");
  });

  it("calls a founder distance 12.0 → 12.5 within reading error", () => {
    const c = compareMeasurements("founderDistance", nth(SUPPORT_LIMB, 1), nth(SUPPORT_LIMB, 2));
    expect(c.verdict).toBe("within error");
  });

  it("takes the wedge out before comparing: 3 → 9 with a 6° wedge is no change of the foot", () => {
    const [bare, wedged] = [nth(SINKER, 1), nth(SINKER, 2)];
    for (const key of ["palmarAngleGround", "palmarAngleFoot", "dorsalP3Angle"] as const) {
      expect(compareMeasurements(key, bare, wedged).difference).toBeCloseTo(0, 9);
    }
    expect(compareMeasurements("dorsalWallAngle", bare, wedged).difference).toBeCloseTo(-0.5, 9);
    expect(compareMeasurements("palmarAngleGround", bare, wedged).findings[0]?.detail).toContain(
      "without the wedge",
    );
    expect(compareMeasurements("founderDistance", bare, wedged).difference).toBe(5);
  });

  it("refuses palmar angle and sole depth between films centred differently, and warns where unknown", () => {
    const [a, b] = [nth(PONY, 0), nth(PONY, 2)];
    const coronary = context(b, { centring: "coronary band" });
    for (const key of ["palmarAngleGround", "palmarAngleFoot", "soleDepthTip"] as const) {
      const c = compareMeasurements(key, a, coronary);
      expect(c.verdict).toBe("refused");
      expect(c.difference).toBeNull();
      expect(c.text).toContain("coronary band");
    }
    expect(compareMeasurements("capsularRotation", a, coronary).verdict).toBe("within error");
    const unknown = compareMeasurements(
      "soleDepthTip",
      a,
      context(b, { centring: "not recorded" }),
    );
    expect(unknown.verdict).toBe("real");
    expect(unknown.findings[0]?.outcome).toBe("warn");
  });

  it("refuses films of two different feet as a series, and compares feet only when asked to", () => {
    const [left, right] = [nth(ROTATED_LEFT, 0), nth(ROTATED_RIGHT, 0)];
    expect(compareMeasurements("capsularRotation", left, right).verdict).toBe("refused");
    const feet = compareFeet("capsularRotation", left, right);
    expect(feet.difference).toBeCloseTo(-2, 9);
    expect(feet.verdict).toBe("real");
  });

  it("uses the film's own uncertainty where that is larger than the reading error", () => {
    const wide = (film: MeasuredFilm): MeasuredFilm => ({
      ...film,
      measurements: film.measurements.map((r) => ({ ...r, standardUncertainty: 2 })),
    });
    const c = compareMeasurements("soleDepthTip", wide(nth(PONY, 0)), wide(nth(PONY, 2)));
    expect(c.smallestRealChange).toBeCloseTo(1.96 * Math.SQRT2 * 2, 9);
    expect(c.verdict).toBe("within error");
  });

  it("lets the practice's own study replace the starting error", () => {
    const c = compareMeasurements("capsularRotation", nth(PONY, 0), nth(PONY, 2), {
      capsularRotation: 0.4,
    });
    expect(c.verdict).toBe("real");
  });

  it("refuses a ratio without any stated error, and warns when a film was not set up by the card", () => {
    const withRatio = (film: MeasuredFilm, value: number, u: number | null): MeasuredFilm => ({
      ...film,
      measurements: [
        ...film.measurements,
        { key: "hornLamellarRatio", value, standardUncertainty: u },
      ],
    });
    const ratio = (u: number | null) =>
      compareMeasurements(
        "hornLamellarRatio",
        withRatio(nth(PONY, 0), 0.25, u),
        withRatio(nth(PONY, 1), 0.27, u),
      );
    expect(ratio(null).verdict).toBe("refused");
    expect(ratio(0.01).verdict).toBe("within error");
    expect(ratio(0.005).verdict).toBe("real");
    const hasty = context(nth(PONY, 1), { positionCardComplete: false });
    const c = compareMeasurements("capsularRotation", nth(PONY, 0), hasty);
    expect(c.findings.map((f) => f.rule)).toEqual(["radiograph/both-films-positioned@1"]);
  });

  it("is antisymmetric and never finds a film different from itself", () => {
    for (const a of ROTATED_LEFT) {
      for (const c of compareFilms(a, a)) expect(c.verdict).not.toBe("real");
      for (const b of ROTATED_LEFT) {
        const there = compareMeasurements("founderDistance", a, b);
        const back = compareMeasurements("founderDistance", b, a);
        expect((there.difference ?? 0) + (back.difference ?? 0)).toBeCloseTo(0, 12);
        expect(there.verdict).toBe(back.verdict);
      }
    }
  });
});

describe("detectSinking", () => {
  it("raises the pattern on the second film, four days after the first", () => {
    const signs = detectSinking(SINKER.slice(0, 2));
    expect(signs.map((s) => [s.filmOn, s.comparedWith])).toEqual([["2026-02-20", "2026-02-16"]]);
    expect(signs[0]?.founderChangeMm).toBe(3);
    expect(signs[0]?.finding.detail).toContain("pattern of sinking");
  });

  it("keeps raising it through the wedged film and after", () => {
    expect(detectSinking(SINKER).map((s) => s.filmOn)).toEqual([
      "2026-02-20",
      "2026-02-24",
      "2026-02-27",
      "2026-03-05",
    ]);
  });

  it("never raises it for the rotated mare on either foot, nor for the pony", () => {
    expect(detectSinking([...ROTATED_LEFT, ...ROTATED_RIGHT])).toEqual([]);
    expect(detectSinking(PONY)).toEqual([]);
  });

  it("does not raise it where rotation really moved", () => {
    expect(detectSinking(SEPSIS)).toEqual([]);
    const rotating = changed(nth(SINKER, 1), "capsularRotation", 4);
    expect(detectSinking([nth(SINKER, 0), rotating])).toEqual([]);
  });

  it("does not raise it where only one end of the wall distance grew", () => {
    const uneven = changed(nth(SINKER, 1), "hornLamellarProximal", -2.5);
    expect(detectSinking([nth(SINKER, 0), uneven])).toEqual([]);
    // Top +2.0 with bottom −0.3, and top +2.0 with bottom +5.0: not the same rise at both ends.
    for (const by of [-2.3, 3]) {
      const lopsided = changed(nth(SINKER, 1), "hornLamellarDistal", by);
      expect(detectSinking([nth(SINKER, 0), lopsided])).toEqual([]);
    }
  });

  it("raises it for the support limb that sank on one side", () => {
    expect(detectSinking(SUPPORT_LIMB)[0]?.filmOn).toBe("2026-04-20");
  });

  it("does not depend on the order of the films", () => {
    expect(detectSinking([...SINKER].toReversed())).toEqual(detectSinking(SINKER));
  });
});

describe("heelRaiseFindings", () => {
  it("warns against a wedge while the founder distance moves, and not otherwise", () => {
    const warned = heelRaiseFindings(SINKER.slice(0, 2));
    expect(warned).toHaveLength(1);
    expect(warned[0]?.outcome).toBe("warn");
    expect(warned[0]?.detail).toContain("heel raise with a moving founder distance");
    expect(heelRaiseFindings(SINKER.slice(0, 1))).toEqual([]);
    expect(heelRaiseFindings([...ROTATED_LEFT, ...ROTATED_RIGHT])).toEqual([]);
  });
});

const worst = (film: MeasuredFilm, earlier: readonly MeasuredFilm[]): readonly string[] =>
  checkFilm(film, earlier)
    .filter((f) => f.outcome === "block" || f.outcome === "warn")
    .map((f) => `${f.outcome} ${f.rule}`);

describe("checkFilm", () => {
  it("passes every film of the invented series against the films before it", () => {
    for (const series of [PONY, ROTATED_LEFT, ROTATED_RIGHT, SINKER, SEPSIS, SUPPORT_LIMB]) {
      series.forEach((film, i) => {
        expect(worst(film, series.slice(0, i))).toEqual([]);
      });
    }
  });

  it("refuses a film whose palmar angle was read 4° off: the bone does not bend", () => {
    const off = changed(
      changed(nth(ROTATED_LEFT, 4), "palmarAngleGround", 4),
      "palmarAngleFoot",
      4,
    );
    const findings = checkFilm(off, ROTATED_LEFT.slice(0, 4));
    expect(findings.find((f) => f.outcome === "block")?.detail).toContain(
      "bone angle does not match earlier films",
    );
  });

  it("accepts a drift of 2° and no more", () => {
    const film = (by: number) =>
      changed(changed(nth(PONY, 1), "palmarAngleGround", by), "palmarAngleFoot", by);
    const blocked = (by: number): boolean =>
      checkFilm(film(by), PONY.slice(0, 1)).some(
        (f) => f.rule.startsWith("radiograph/rigid-bone") && f.outcome === "block",
      );
    expect(blocked(2)).toBe(false);
    expect(blocked(-2)).toBe(false);
    expect(blocked(2.1)).toBe(true);
    expect(blocked(-2.1)).toBe(true);
  });

  it("leaves films of the other foot out of account", () => {
    const other = context(changed(nth(PONY, 0), "palmarAngleGround", 6), { foot: "RF" });
    expect(checkFilm(nth(PONY, 1), [other]).filter((f) => f.rule.includes("bone"))).toEqual([]);
  });

  it("cannot catch left and right swapped where the bones differ by half a degree", () => {
    const swapped = context(nth(ROTATED_RIGHT, 2), { foot: "LF" });
    expect(worst(swapped, ROTATED_LEFT.slice(0, 4))).toEqual([]);
  });

  it("asks for a second look when the wing is 4 mm off, before there is any earlier film", () => {
    expect(worst(changed(nth(PONY, 0), "soleDepthWing", 4), [])).toEqual([
      "warn radiograph/wing@1",
    ]);
  });

  it("asks for a second look when top, bottom and rotation do not fit together", () => {
    expect(worst(changed(nth(ROTATED_LEFT, 0), "hornLamellarDistal", 3), [])).toEqual([
      "warn radiograph/wall-to-bone@1",
    ]);
  });

  it("refuses two palmar angles that do not differ by the stated wedge", () => {
    expect(worst(context(nth(SINKER, 2), { wedgeDegrees: 3 }), [])).toContain(
      "block radiograph/two-palmar-angles@1",
    );
  });
});

describe("checkFilm on marked films", () => {
  const SHAPE: FootShape = {
    wallAngleDegrees: 50,
    dorsalP3AngleDegrees: 55,
    p2AxisAngleDegrees: 52,
    palmarAngleDegrees: 6,
    soleDepthTipMm: 13,
    p3SolarLengthMm: 58,
    p3PalmarLengthMm: 60,
    hornLamellarDistalMm: 19,
    hornLamellarSpacingMm: 36,
    founderDistanceMm: 8,
    breakoverDistanceMm: 12,
    breakoverFromFrogTipMm: 34,
    bearingLengthMm: 112,
    heelHeightMm: 40,
    foreProportionPercent: 55,
    centreOfRotationHeightMm: 46,
    articularRadiusMm: 18,
    markerLengthMm: 50,
  };
  const landmarks = (shape: FootShape) =>
    lateromedialLandmarksOf(shape, {
      mmPerPx: 0.1,
      origin: { x: 1200, y: 1500 },
      facing: "left",
      tiltDegrees: 4,
    });
  const film = (points: Record<LateromedialLandmark, Point>, takenOn: string): MeasuredFilm => ({
    film: {
      foot: "LF",
      view: "lateromedial",
      takenOn,
      wedgeDegrees: 0,
      centring: "hoof-ground interface",
    },
    measurements: measureLateromedial({
      landmarks: points,
      scale: { kind: "marker", lengthMm: 50, lengthStandardUncertaintyMm: 0.1 },
    }),
  });
  const first = film(landmarks(SHAPE), "2026-03-01");
  const turnAbout = (p: Point, centre: Point, angle: number): Point => {
    const [c, s] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
    const [dx, dy] = [p.x - centre.x, p.y - centre.y];
    return { x: centre.x + dx * c - dy * s, y: centre.y + dx * s + dy * c };
  };

  it("passes a film of the same bone after the foot has changed", () => {
    const later = landmarks({
      ...SHAPE,
      palmarAngleDegrees: 3,
      dorsalP3AngleDegrees: 52,
      soleDepthTipMm: 17,
      hornLamellarDistalMm: 17,
    });
    expect(worst(film(later, "2026-04-01"), [first])).toEqual([]);
  });

  it("refuses it when one mark at the wing is moved by 4° about the tip, and sees the wing is off", () => {
    const points = landmarks(SHAPE);
    for (const angle of [4, -4]) {
      const moved = { ...points, p3Wing: turnAbout(points.p3Wing, points.p3Tip, angle) };
      const found = worst(film(moved, "2026-04-01"), [first]);
      expect(found).toContain("block radiograph/rigid-bone@1");
      expect(found).toContain("warn radiograph/wing@1");
    }
  });

  it("notices a wrong scale by the length of the bone", () => {
    const wrong: MeasuredFilm = {
      ...first,
      measurements: measureLateromedial({
        landmarks: landmarks(SHAPE),
        scale: { kind: "marker", lengthMm: 45, lengthStandardUncertaintyMm: 0.1 },
      }),
    };
    expect(worst(wrong, [first])).toContain("warn radiograph/bone-length@1");
  });

  it("refuses a ground line drawn from the wrong end", () => {
    const points = landmarks(SHAPE);
    const swapped = { ...points, groundToe: points.groundHeel, groundHeel: points.groundToe };
    expect(worst(film(swapped, "2026-04-01"), [])).toContain("block radiograph/toe-direction@1");
  });
});
