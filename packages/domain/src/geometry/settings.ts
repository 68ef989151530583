import type { Setting, Source } from "../evidence/index.ts";
import { HOUSE, MEASUREMENT_ERROR, STALE_FILMS, WALL_MARKER } from "./sources.ts";

const SINCE = "2026-01-01";
const setting = <T>(
  key: string,
  value: T,
  unit: string,
  source: Source,
  change: Setting<T>["change"] = "free",
): Setting<T> => ({ key, value, unit, source, since: SINCE, change });

/**
 * Standard deviation of one landmark coordinate placed by hand. Chosen so that the angles computed
 * from it agree with the starting repeat-reading error of 0.7°.
 */
export const LANDMARK_SD_MM = setting("radiograph.landmark-sd", 0.4, "mm", HOUSE);
/** The same where the film has no scale. */
export const LANDMARK_SD_PX = setting("radiograph.landmark-sd-no-scale", 3, "px", HOUSE);
/** How far from a mark its edge is looked for: five standard deviations of a hand. */
export const EDGE_REACH_MM = setting("radiograph.edge-reach", 2, "mm", HOUSE);
/** The same where the film has no scale. */
export const EDGE_REACH_PX = setting("radiograph.edge-reach-no-scale", 12, "px", HOUSE);
/** Standard uncertainty of a stated wedge angle. */
export const WEDGE_SD_DEGREES = setting("radiograph.wedge-sd", 0.5, "deg", HOUSE);
/** Relative standard uncertainty of a detector spacing with an unmeasured magnification. */
export const UNCALIBRATED_SCALE_SD = setting(
  "radiograph.uncalibrated-scale-sd",
  0.05,
  "fraction",
  HOUSE,
);

/** Standard error of measurement of one reading, until the practice has its own study. */
export const SEM_DISTANCE_MM = setting("radiograph.sem-distance", 0.9, "mm", HOUSE);
export const SEM_ANGLE_DEGREES = setting("radiograph.sem-angle", 0.7, "deg", HOUSE);
export const SEM_FOUNDER_MM = setting("radiograph.sem-founder", 1.0, "mm", HOUSE);
/** Two-sided 95 % of a normal distribution. */
export const COVERAGE_FACTOR = setting(
  "radiograph.coverage-factor",
  1.96,
  "1",
  MEASUREMENT_ERROR,
  "fixed",
);

/** The bone does not bend: largest drift of the bone angle between films of one foot. */
export const BONE_ANGLE_DRIFT_DEGREES = setting(
  "radiograph.bone-angle-drift",
  2,
  "deg",
  HOUSE,
  "tighten",
);
/** Wall-to-bone and wing cross-checks. */
export const CROSS_CHECK_MM = setting("radiograph.cross-check", 2, "mm", HOUSE, "tighten");
/** Length of the bone against earlier films of the same foot. */
export const BONE_LENGTH_DRIFT_FRACTION = setting(
  "radiograph.bone-length-drift",
  0.08,
  "fraction",
  HOUSE,
  "tighten",
);
/** Upper end of the wall marker from the marked coronary band. */
export const WALL_MARKER_GAP_MM = setting(
  "radiograph.wall-marker-gap",
  2,
  "mm",
  WALL_MARKER,
  "tighten",
);
/** Wall marker against the marked wall line. */
export const WALL_MARKER_ANGLE_DEGREES = setting(
  "radiograph.wall-marker-angle",
  3,
  "deg",
  HOUSE,
  "tighten",
);
/** Magnification that a foot against the plate can show; outside it the marker or the spacing is wrong. */
export const PLAUSIBLE_MAGNIFICATION = setting(
  "radiograph.plausible-magnification",
  { low: 1, high: 1.25 },
  "1",
  HOUSE,
  "tighten",
);

export interface FilmAgeLimits {
  readonly amberAfterDays: number;
  readonly redAfterDays: number;
}
/** Age of a film while the foot is being changed. */
export const FILM_AGE_TREATMENT = setting<FilmAgeLimits>(
  "radiograph.film-age-treatment",
  { amberAfterDays: 14, redAfterDays: 56 },
  "days",
  { ...STALE_FILMS, status: "house rule" },
  "tighten",
);
/** Age of a film in maintenance: repeat films every three to six months. */
export const FILM_AGE_MAINTENANCE = setting<FilmAgeLimits>(
  "radiograph.film-age-maintenance",
  { amberAfterDays: 90, redAfterDays: 183 },
  "days",
  HOUSE,
  "tighten",
);
/** A repeat-reading study may replace the defaults from this size. */
export const REPEAT_STUDY_SIZE = setting(
  "radiograph.repeat-study-size",
  { films: 10, readers: 2, repeats: 2 },
  "count",
  HOUSE,
  "tighten",
);

/** Every setting of this folder, for the settings page. */
export const GEOMETRY_SETTINGS: readonly Setting<unknown>[] = [
  LANDMARK_SD_MM,
  LANDMARK_SD_PX,
  EDGE_REACH_MM,
  EDGE_REACH_PX,
  WEDGE_SD_DEGREES,
  UNCALIBRATED_SCALE_SD,
  SEM_DISTANCE_MM,
  SEM_ANGLE_DEGREES,
  SEM_FOUNDER_MM,
  COVERAGE_FACTOR,
  BONE_ANGLE_DRIFT_DEGREES,
  CROSS_CHECK_MM,
  BONE_LENGTH_DRIFT_FRACTION,
  WALL_MARKER_GAP_MM,
  WALL_MARKER_ANGLE_DEGREES,
  PLAUSIBLE_MAGNIFICATION,
  FILM_AGE_TREATMENT,
  FILM_AGE_MAINTENANCE,
  REPEAT_STUDY_SIZE,
];
