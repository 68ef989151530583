import { compareMeasurements, type SemByMeasure } from "../geometry/compare.ts";
import { definitionOf, type MeasuredFilm, type MeasureKey } from "../geometry/film.ts";
import type { Reading, TrimMeasures } from "./trim-types.ts";

const reading = (film: MeasuredFilm, key: MeasureKey): Reading | undefined => {
  const found = film.measurements.find((one) => one.key === key);
  return found?.value === undefined || found.value === null || found.standardUncertainty === null
    ? undefined
    : { value: found.value, standardUncertainty: found.standardUncertainty };
};

const NEEDED = {
  palmarAngleDegrees: "palmarAngleGround",
  dorsalWallAngleDegrees: "dorsalWallAngle",
  dorsalP3AngleDegrees: "dorsalP3Angle",
  soleDepthTipMm: "soleDepthTip",
  soleDepthWingMm: "soleDepthWing",
  hornLamellarProximalMm: "hornLamellarProximal",
  hornLamellarDistalMm: "hornLamellarDistal",
  breakoverDistanceMm: "breakoverDistance",
  bearingLengthMm: "bearingLength",
  p3SolarLengthMm: "p3SolarLength",
} as const satisfies Partial<Record<keyof TrimMeasures, MeasureKey>>;

/** The frog tip lies behind the tip of P3 by as much as it is further from breakover. */
const frogTipOf = (film: MeasuredFilm, breakover: Reading): Reading | undefined => {
  const fromFrog = reading(film, "breakoverFromFrogTip");
  return (
    fromFrog && {
      value: fromFrog.value - breakover.value,
      standardUncertainty: Math.hypot(fromFrog.standardUncertainty, breakover.standardUncertainty),
    }
  );
};

const centreOf = (film: MeasuredFilm, breakover: Reading): TrimMeasures["centreOfRotation"] => {
  const lever = reading(film, "leverArm");
  const height = reading(film, "centreOfRotationHeight");
  return lever && height && { xMm: breakover.value - lever.value, heightMm: height.value };
};

const present = <T extends object>(fields: T) =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };

/**
 * What the planner takes from a measured side view, or the labels of the measures that it lacks.
 * `before` is the film before it of the same foot: it says whether the bone has gone down; `study` is
 * the reading error of the practice's own, where it has adopted one.
 */
export const trimMeasuresOfFilm = (
  film: MeasuredFilm,
  before: MeasuredFilm | undefined,
  study: SemByMeasure = {},
):
  | { readonly ok: true; readonly measures: TrimMeasures }
  | { readonly ok: false; readonly lacking: readonly string[] } => {
  const lacking = Object.values(NEEDED).filter((key) => reading(film, key) === undefined);
  if (lacking.length > 0)
    return { ok: false, lacking: lacking.map((key) => definitionOf(key).label) };
  const needed = Object.fromEntries(
    Object.entries(NEEDED).map(([name, key]) => [name, reading(film, key)]),
  ) as Record<keyof typeof NEEDED, Reading>;
  const founder = before && compareMeasurements("founderDistance", before, film, study);
  return {
    ok: true,
    measures: {
      ...needed,
      wedgeInPlaceDegrees: film.film.wedgeDegrees,
      ...present({
        frogTipToP3TipMm: frogTipOf(film, needed.breakoverDistanceMm),
        heelHeightMm: reading(film, "heelHeight"),
        toeLengthMm: reading(film, "toeLength"),
        founderDistanceMm: reading(film, "founderDistance"),
        founderChangeMm: founder?.difference ?? undefined,
        founderSemMm: study.founderDistance,
        centreOfRotation: centreOf(film, needed.breakoverDistanceMm),
      }),
    },
  };
};
