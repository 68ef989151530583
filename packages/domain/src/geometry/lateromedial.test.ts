import { describe, expect, it } from "vitest";
import {
  measureLateromedial,
  type LateromedialInput,
  type LateromedialMeasure,
  type Measurement,
} from "./index.ts";

/**
 * A worked foot, mm, y up: worked by hand with plane trigonometry. Ends of the P2 axis lie 50° apart
 * from the ground.
 */
const WORKED = {
  coronaryBand: { x: 12, y: 66 },
  wallDistal: { x: 70, y: 8 },
  extensorProcess: { x: 0, y: 62 },
  p3DorsalProximal: { x: 0, y: 62 },
  p3Tip: { x: 38, y: 14 },
  p3Wing: { x: -22, y: 20 },
  breakover: { x: 60, y: 0 },
  heel: { x: -50, y: 0 },
  p2Articular1: { x: 8 + 20, y: 45 },
  p2Articular3: { x: 8, y: 45 - 20 },
  p2Articular5: { x: 8 - 20, y: 45 },
  p2AxisProximal: {
    x: 8 - 40 * Math.cos((50 * Math.PI) / 180),
    y: 45 + 40 * Math.sin((50 * Math.PI) / 180),
  },
  p2AxisDistal: { x: 8, y: 45 },
  groundToe: { x: 80, y: 0 },
  groundHeel: { x: -70, y: 0 },
  markerStart: { x: 12, y: 66 },
  markerEnd: { x: 12 + 40 * Math.SQRT1_2, y: 66 - 40 * Math.SQRT1_2 },
};

const image = (input: Partial<LateromedialInput> = {}): LateromedialInput => ({
  landmarks: Object.fromEntries(
    Object.entries(WORKED).map(([key, p]) => [key, { x: 900 + p.x * 8, y: 700 - p.y * 8 }]),
  ),
  scale: { kind: "marker", lengthMm: 40, lengthStandardUncertaintyMm: 0.1 },
  ...input,
});
const by = (list: readonly Measurement<LateromedialMeasure>[]) => {
  const map = new Map(list.map((m) => [m.key, m]));
  return (key: LateromedialMeasure): Measurement<LateromedialMeasure> => {
    const found = map.get(key);
    if (found === undefined) throw new Error(`no ${key}`);
    return found;
  };
};

describe("measureLateromedial", () => {
  it.each<[LateromedialMeasure, number]>([
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
    ["foreProportion", 47.27],
    ["aftProportion", 52.73],
    ["leverArm", 52],
    ["articularRadius", 20],
    ["centreOfRotationHeight", 45],
    ["boneAngle", 45.922],
  ])("gives the worked value of %s", (key, expected) => {
    expect(by(measureLateromedial(image()))(key).value).toBeCloseTo(expected, 2);
  });
});
