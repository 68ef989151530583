import { describe, expect, it } from "vitest";
import {
  LATEROMEDIAL_DEFINITIONS,
  LATEROMEDIAL_LANDMARKS,
  measureLateromedial,
  type LateromedialInput,
  type LateromedialMeasure,
  type Measurement,
  type Point,
} from "./index.ts";

/** Worked feet: mm, x to the toe, y up; every expected value by hand from plane trigonometry. */
const degrees = (angle: number): number => (angle * Math.PI) / 180;
const WORKED: Record<string, Point> = {
  coronaryBand: { x: 12, y: 66 },
  wallDistal: { x: 70, y: 8 },
  extensorProcess: { x: 0, y: 62 },
  p3DorsalProximal: { x: 0, y: 62 },
  p3Tip: { x: 38, y: 14 },
  p3Wing: { x: -22, y: 20 },
  breakover: { x: 60, y: 0 },
  heel: { x: -50, y: 0 },
  p2Articular1: { x: 28, y: 45 },
  p2Articular3: { x: 8, y: 25 },
  p2Articular5: { x: -12, y: 45 },
  p2AxisProximal: { x: 8 - 40 * Math.cos(degrees(50)), y: 45 + 40 * Math.sin(degrees(50)) },
  p2AxisDistal: { x: 8, y: 45 },
  navicularArticulation: { x: -22, y: 38 },
  groundToe: { x: 80, y: 0 },
  groundHeel: { x: -70, y: 0 },
  markerStart: { x: 12, y: 66 },
  markerEnd: { x: 12 + 40 * Math.SQRT1_2, y: 66 - 40 * Math.SQRT1_2 },
  frogTip: { x: 24, y: 3 },
  coronaryBandHeel: { x: -40, y: 33 },
};
const WALL = { coronaryBand: { x: 30, y: 84 }, wallDistal: { x: 100, y: 0 } };
const LINE = { groundToe: { x: 110, y: 0 }, groundHeel: { x: -20, y: 0 } };
const SOUND: Record<string, Point> = {
  ...WALL,
  ...LINE,
  p3DorsalProximal: { x: 30, y: 58 },
  p3Tip: { x: 65, y: 16 },
  p3Wing: { x: 5, y: 20 },
  extensorProcess: { x: 24, y: 79 },
};
const ROTATED: Record<string, Point> = {
  ...WALL,
  ...LINE,
  p3DorsalProximal: { x: 32, y: 57 },
  p3Tip: { x: 62, y: 9 },
  p3Wing: { x: 4, y: 24 },
  extensorProcess: { x: 24, y: 66 },
  breakover: { x: 95, y: 0 },
};

const PX_PER_MM = 8;
const image = (
  points: Record<string, Point>,
  input: Partial<LateromedialInput> = {},
): LateromedialInput => ({
  landmarks: Object.fromEntries(
    Object.entries(points).map(([key, p]) => [
      key,
      { x: 900 + p.x * PX_PER_MM, y: 700 - p.y * PX_PER_MM },
    ]),
  ),
  scale: {
    kind: "spacing",
    mmPerPx: 1.05 / PX_PER_MM,
    magnification: 1.05,
    relativeStandardUncertainty: 0.01,
  },
  ...input,
});
const read = (input: LateromedialInput) => {
  const map = new Map(measureLateromedial(input).map((m) => [m.key, m]));
  return (key: LateromedialMeasure): Measurement<LateromedialMeasure> => {
    const found = map.get(key);
    if (found === undefined) throw new Error(`no ${key}`);
    return found;
  };
};
type Row = [LateromedialMeasure, number];

describe("measureLateromedial", () => {
  it.each<Row>([
    ["dorsalWallAngle", 45],
    ["dorsalP3Angle", 51.633],
    ["capsularRotation", 6.633],
    ["phalangealRotation", 1.633],
    ["digitalAlignment", 178.367],
    ["p2AxisAngle", 50],
    ["hornLamellarProximal", 11.314],
    ["hornLamellarMid", 14.849],
    ["hornLamellarDistal", 18.385],
    ["hornLamellarSpacing", 60.811],
    ["rotationFromWallDistances", 6.633],
    ["founderDistance", 4],
    ["palmarAngleGround", 5.711],
    ["palmarAngleFoot", 5.711],
    ["p3SolarLength", 60.299],
    ["soleDepthTip", 14],
    ["soleDepthWing", 20],
    ["breakoverDistance", 22],
    ["bearingLength", 110],
    ["foreProportion", 47.273],
    ["aftProportion", 52.727],
    ["leverArm", 52],
    ["articularRadius", 20],
    ["centreOfRotationHeight", 45],
    ["boneAngle", 45.922],
    ["toeHeight", 66],
    ["heelHeight", 33],
    ["heelToeHeightRatio", 50],
    ["breakoverFromFrogTip", 36],
    // (48, −66) along the wall (1, −1)/√2
    ["toeLength", 80.61],
    // (60, 24): √(60² + 24²)
    ["p3PalmarLength", 64.622],
    ["hornLamellarRatio", 0.2298],
  ])("gives the worked value of %s", (key, expected) => {
    expect(Math.abs((read(image(WORKED))(key).value ?? Number.NaN) - expected)).toBeLessThan(0.005);
  });

  it.each<Row>([
    ["dorsalWallAngle", 50.19],
    ["dorsalP3Angle", 50.19],
    ["capsularRotation", 0],
    ["hornLamellarProximal", 16.64],
    ["hornLamellarDistal", 16.64],
    ["palmarAngleGround", 3.81],
    ["founderDistance", 5],
    ["soleDepthTip", 16],
    ["soleDepthWing", 20],
  ])("gives the worked value of %s for a foot with parallel wall and bone", (key, expected) => {
    expect(read(image(SOUND))(key).value).toBeCloseTo(expected, 1.9);
  });

  it.each<Row>([
    ["dorsalP3Angle", 57.99],
    ["capsularRotation", 7.8],
    ["hornLamellarProximal", 15.75],
    ["hornLamellarDistal", 23.43],
    ["palmarAngleGround", 14.5],
    ["founderDistance", 18],
    ["breakoverDistance", 33],
  ])("gives the worked value of %s for a rotated foot", (key, expected) => {
    expect(read(image(ROTATED))(key).value).toBeCloseTo(expected, 1.9);
  });

  it("signs the founder distance negative when the bone stands above the wall top", () => {
    const above = { ...WORKED, extensorProcess: { x: 0, y: 70 } };
    expect(read(image(above))("founderDistance").value).toBeCloseTo(-4, 9);
  });

  it("signs the palmar angle negative when the wing is 5 mm lower than the tip over 60 mm", () => {
    const low = {
      ...WORKED,
      p3Wing: { x: 38 - Math.sqrt(60 ** 2 - 5 ** 2), y: 9 },
    };
    expect(read(image(low))("palmarAngleFoot").value).toBeCloseTo(-4.78, 2);
    expect(read(image(low))("p3SolarLength").value).toBeCloseTo(60, 9);
  });

  it.each([
    [50, 62, 12],
    [50, 48, -2],
    [62, 64, 2],
  ])("reads wall %i° and bone %i° as %i° of rotation", (wall, bone, rotation) => {
    const spread = {
      ...WORKED,
      wallDistal: { x: 12 + 60 * Math.cos(degrees(wall)), y: 66 - 60 * Math.sin(degrees(wall)) },
      p3DorsalProximal: {
        x: 38 - 45 * Math.cos(degrees(bone)),
        y: 14 + 45 * Math.sin(degrees(bone)),
      },
    };
    const m = read(image(spread));
    expect(m("capsularRotation").value).toBeCloseTo(rotation, 9);
    expect(m("rotationFromWallDistances").value).toBeCloseTo(rotation, 9);
  });

  it.each([
    [50, 45, 5],
    [45, 50, -5],
  ])("reads bone %i° over P2 axis %i° as %i° (forward positive, back negative)", (t, u, r) => {
    const bent = {
      ...WORKED,
      p3DorsalProximal: { x: 38 - 45 * Math.cos(degrees(t)), y: 14 + 45 * Math.sin(degrees(t)) },
      p2AxisProximal: { x: 8 - 40 * Math.cos(degrees(u)), y: 45 + 40 * Math.sin(degrees(u)) },
    };
    expect(read(image(bent))("phalangealRotation").value).toBeCloseTo(r, 9);
  });

  it("halves a bearing length of 110 mm about a centre 55 mm behind breakover", () => {
    const centred = { ...WORKED };
    for (const key of ["p2Articular1", "p2Articular3", "p2Articular5"] as const) {
      const p = WORKED[key] as Point;
      centred[key] = { x: p.x - 3, y: p.y };
    }
    const m = read(image(centred));
    expect(m("foreProportion").value).toBeCloseTo(50, 9);
    expect(m("aftProportion").value).toBeCloseTo(50, 9);
  });
});

describe("what a film does not allow", () => {
  it("without a scale refuses every millimetre with the reason and keeps angles and ratios", () => {
    const list = measureLateromedial(image(WORKED, { scale: { kind: "none" } }));
    const lengths = list.filter((m) => m.unit === "mm");
    expect(lengths.filter((m) => m.value !== null)).toEqual([]);
    expect(lengths.filter((m) => !m.missing?.includes("no scale"))).toEqual([]);
    const others = list.filter((m) => m.unit !== "mm");
    expect(others.filter((m) => m.value === null || !((m.standardUncertainty ?? 0) > 0))).toEqual(
      [],
    );
    expect(list.filter((m) => m.unit === "mm").length).toBeGreaterThan(15);
  });

  it("names the points that are missing, and needs three on the joint surface", () => {
    const { p3Wing: _wing, p2Articular3: _joint, ...rest } = WORKED;
    const m = read(image(rest));
    expect(m("palmarAngleFoot").missing).toBe("not placed: Wing of P3");
    expect(m("leverArm").missing).toContain("at least three points");
    expect(m("leverArm").missing).toContain("2 so far");
    expect(m("capsularRotation").value).toBeCloseTo(6.633, 3);
  });

  it("measures rotation and wall distances without a ground line", () => {
    const { groundToe: _toe, groundHeel: _heel, ...rest } = WORKED;
    const m = read(image(rest));
    expect(m("capsularRotation").value).toBeCloseTo(6.633, 3);
    expect(m("hornLamellarDistal").value).toBeCloseTo(18.385, 3);
    expect(m("soleDepthTip").missing).toContain("Ground line");
  });

  it("says so when two points lie on top of each other, and treats a point that is not a number as missing", () => {
    const twin = { ...WORKED, wallDistal: WORKED["coronaryBand"] as Point };
    expect(read(image(twin))("capsularRotation").missing).toContain("on top of each other");
    const broken = { ...WORKED, p3Tip: { x: Number.NaN, y: 3 } };
    expect(read(image(broken))("soleDepthTip").missing).toBe("not placed: Tip of P3");
    const flat = {
      ...WORKED,
      p2Articular1: { x: 0, y: 30 },
      p2Articular3: { x: 5, y: 30 },
      p2Articular5: { x: 10, y: 30 },
    };
    expect(read(image(flat))("articularRadius").missing).toContain("on one line");
  });
});

describe("wedge and shoe", () => {
  it("shows palmar 9° to the ground as 3° of foot and 6° of wedge, whichever line was drawn", () => {
    // The worked foot with its palmar angle set to 3° to the foot surface.
    const foot = {
      ...WORKED,
      p3Wing: { x: 38 - 60 * Math.cos(degrees(3)), y: 14 + 60 * Math.sin(degrees(3)) },
    };
    const onFoot = read(image(foot, { wedgeDegrees: 6, groundLineOn: "foot surface" }));
    expect(onFoot("palmarAngleGround").value).toBeCloseTo(9, 9);
    expect(onFoot("palmarAngleFoot").value).toBeCloseTo(3, 9);
    // The same foot stood on the wedge: everything but the ground turns by 6° about the heel.
    const turned = Object.fromEntries(
      Object.entries(foot).map(([key, p]) => {
        if (key.startsWith("ground")) return [key, p];
        const dx = p.x + 70;
        const [c, s] = [Math.cos(degrees(-6)), Math.sin(degrees(-6))];
        return [key, { x: -70 + dx * c - p.y * s, y: 14 + dx * s + p.y * c }];
      }),
    );
    const onGround = read(image(turned, { wedgeDegrees: 6, groundLineOn: "ground" }));
    expect(onGround("palmarAngleGround").value).toBeCloseTo(9, 9);
    expect(onGround("palmarAngleFoot").value).toBeCloseTo(3, 9);
    for (const key of ["capsularRotation", "founderDistance", "dorsalWallAngle"] as const) {
      expect(onGround(key).value).toBeCloseTo(onFoot(key).value as number, 9);
    }
    expect(onGround("soleDepthTip").missing).toContain("top of the shoe or wedge");
    expect(onFoot("soleDepthTip").value).toBeCloseTo(14, 9);
  });

  it("adds 4° of foot and 6° of wedge to 10° to the ground", () => {
    const foot = {
      ...WORKED,
      p3Wing: { x: 38 - 60 * Math.cos(degrees(4)), y: 14 + 60 * Math.sin(degrees(4)) },
    };
    const m = read(image(foot, { wedgeDegrees: 6, groundLineOn: "foot surface" }));
    expect(m("palmarAngleGround").value).toBeCloseTo(10, 9);
  });

  it("refuses sole depth through a shoe when the line is on the ground", () => {
    const m = read(image(WORKED, { shod: true }));
    expect(m("soleDepthTip").value).toBeNull();
    expect(m("founderDistance").value).toBeCloseTo(4, 9);
  });
});

describe("reference values", () => {
  it("judges only by a cited range for that kind of animal", () => {
    const horse = read(image(WORKED, { animal: { kind: "horse" } }));
    expect(horse("soleDepthTip").verdict).toBe("outside");
    expect(horse("soleDepthWing").verdict).toBe("inside");
    expect(horse("palmarAngleFoot").verdict).toBe("inside");
    expect(read(image(ROTATED, { animal: { kind: "horse" } }))("palmarAngleFoot").verdict).toBe(
      "outside",
    );
    for (const kind of ["pony", "donkey"] as const) {
      const other = read(image(WORKED, { animal: { kind } }));
      expect(other("soleDepthTip").verdict).toBe("no reference");
      expect(other("palmarAngleFoot").verdict).toBe("no reference");
    }
    expect(read(image(WORKED))("soleDepthTip").verdict).toBe("no reference");
  });

  it("never judges by a figure that was only recalled", () => {
    const founder = read(image(ROTATED, { animal: { kind: "horse" } }))("founderDistance");
    expect(founder.value).toBeCloseTo(18, 9);
    expect(founder.reference?.source.status).toBe("from memory");
    expect(founder.verdict).toBe("no reference");
  });

  it("uses the light-breed wall distance only for light breeds", () => {
    const wall = (lightBreed: boolean) =>
      read(image(ROTATED, { animal: { kind: "horse", lightBreed } }))("hornLamellarDistal");
    expect(wall(true).verdict).toBe("outside");
    expect(wall(false).verdict).toBe("no reference");
    expect(wall(false).reference?.applies).toContain("light-breed");
  });
});

describe("LATEROMEDIAL_LANDMARKS", () => {
  it("says for every point what it is needed for, and every measure finds its points", () => {
    const useless = LATEROMEDIAL_LANDMARKS.filter(
      (l) => l.requiredFor.length === 0 || l.definition.length <= 20,
    );
    expect(useless).toEqual([]);
    const keys = new Set(LATEROMEDIAL_LANDMARKS.map((l) => l.key));
    for (const measure of LATEROMEDIAL_DEFINITIONS) {
      for (const need of measure.needs) expect(keys.has(need)).toBe(true);
    }
    expect(keys.size).toBe(22);
  });
});
