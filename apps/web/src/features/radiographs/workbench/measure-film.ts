import type { FilmFigures, RadiographView } from "@heelward/contracts";
import {
  type AnimalKind,
  type Measurement,
  measureDorsopalmar,
  measureLateromedial,
} from "@heelward/domain/geometry";
import type { Points } from "./machine/workbench.ts";

/** All measures of a film from marks on it, as the service will work them out when they are saved. */
export const measureFilm = (
  film: Pick<RadiographView, "view" | "scale" | "wedgeDegrees" | "shod" | "groundLineOn">,
  kind: AnimalKind,
  points: Points,
  figures: Pick<FilmFigures, "landmarkSpread" | "wedgeSdDegrees">,
): readonly Measurement[] => {
  const shared = {
    landmarks: points,
    scale: film.scale,
    animal: { kind },
    shod: film.shod,
    groundLineOn: film.groundLineOn,
    landmarkSpread: figures.landmarkSpread,
  };
  return film.view === "lateromedial"
    ? measureLateromedial({
        ...shared,
        wedgeDegrees: film.wedgeDegrees,
        wedgeStandardUncertaintyDegrees: figures.wedgeSdDegrees,
      })
    : measureDorsopalmar(shared);
};

const GROUPS: readonly (readonly [
  "sole" | "wall" | "angles" | "toe" | "lever" | "level" | "joint" | "soles" | "walls",
  readonly string[],
])[] = [
  [
    "sole",
    ["palmarAngleFoot", "palmarAngleGround", "soleDepthTip", "soleDepthWing", "founderDistance"],
  ],
  [
    "wall",
    [
      "capsularRotation",
      "hornLamellarProximal",
      "hornLamellarMid",
      "hornLamellarDistal",
      "rotationFromWallDistances",
      "hornLamellarRatio",
      "hornLamellarSpacing",
    ],
  ],
  [
    "angles",
    [
      "dorsalWallAngle",
      "dorsalP3Angle",
      "p2AxisAngle",
      "phalangealRotation",
      "digitalAlignment",
      "boneAngle",
    ],
  ],
  ["toe", ["breakoverDistance", "breakoverFromFrogTip", "toeLength", "toeHeight", "heelHeight"]],
  ["lever", ["leverArm", "foreProportion", "aftProportion", "bearingLength"]],
  ["level", ["p3Tilt", "p3TiltForamina", "coronaryBandTilt"]],
  ["joint", ["jointSpaceMedial", "jointSpaceLateral", "jointSpaceDifference"]],
  ["soles", ["soleDepthMedial", "soleDepthLateral", "soleDepthDifference"]],
  ["walls", ["wallDistanceMedial", "wallDistanceLateral", "wallDistanceDifference"]],
];

export type MeasureGroup = (typeof GROUPS)[number][0] | "more";

/** The measures in the order in which one looks at a foot; what is left over comes last. */
export const grouped = <M extends { readonly key: string }>(
  measures: readonly M[],
): readonly { readonly group: MeasureGroup; readonly items: readonly M[] }[] => {
  const named = GROUPS.flatMap(([, keys]) => keys);
  return [
    ...GROUPS.map(([group, keys]) => ({
      group,
      items: keys.flatMap((key) => measures.filter((one) => one.key === key)),
    })),
    { group: "more" as const, items: measures.filter((one) => !named.includes(one.key)) },
  ].filter(({ items }) => items.length > 0);
};

/** A difference with its sign; what rounds to nothing has none. */
export const signed = (
  value: number,
  digits: number,
  say: (value: number, digits: number) => string,
): string => {
  const text = say(Math.abs(value), digits);
  if (Number(Math.abs(value).toFixed(digits)) === 0) return text;
  return `${value < 0 ? "−" : "+"}${text}`;
};

/** Half of the 95 % interval. */
export const halfInterval = (interval: { low: number; high: number } | null): number | null =>
  interval === null ? null : (interval.high - interval.low) / 2;
