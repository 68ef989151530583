import type { CheckLimits } from "./check-film.ts";
import { DORSOPALMAR_DEFINITIONS } from "./dorsopalmar-definitions.ts";
import type { MeasureKey } from "./film.ts";
import { LATEROMEDIAL_DEFINITIONS } from "./lateromedial-definitions.ts";
import type { ErrorClass } from "./measurement.ts";
import type { RepeatStudySize } from "./repeat-reading.ts";
import type { LandmarkSpread } from "./scale.ts";
import {
  BONE_ANGLE_DRIFT_DEGREES,
  BONE_LENGTH_DRIFT_FRACTION,
  CROSS_CHECK_MM,
  EDGE_REACH_MM,
  EDGE_REACH_PX,
  FILM_AGE_MAINTENANCE,
  FILM_AGE_TREATMENT,
  LANDMARK_SD_MM,
  LANDMARK_SD_PX,
  PLAUSIBLE_MAGNIFICATION,
  REPEAT_STUDY_SIZE,
  SEM_ANGLE_DEGREES,
  SEM_DISTANCE_MM,
  SEM_FOUNDER_MM,
  UNCALIBRATED_SCALE_SD,
  WALL_MARKER_ANGLE_DEGREES,
  WALL_MARKER_GAP_MM,
  WEDGE_SD_DEGREES,
  type FilmAgeLimits,
} from "./settings.ts";

/** The figures by which films are measured, checked and compared on a day. */
export interface FilmFigures {
  readonly landmarkSpread: LandmarkSpread;
  /** How far from a mark its edge is looked for. */
  readonly edgeReach: LandmarkSpread;
  readonly wedgeSdDegrees: number;
  readonly uncalibratedScaleSd: number;
  /** Standard error of one reading of every measure that has one. */
  readonly sem: { readonly [key in MeasureKey]?: number };
  readonly limits: CheckLimits;
  readonly filmAge: { readonly treatment: FilmAgeLimits; readonly maintenance: FilmAgeLimits };
  readonly studySize: RepeatStudySize;
}

/** Every measure of both views, by key. */
export const MEASURE_KEYS: readonly MeasureKey[] = [
  ...LATEROMEDIAL_DEFINITIONS,
  ...DORSOPALMAR_DEFINITIONS,
].map((definition) => definition.key);

/** Key of the figure that holds a practice's own reading error of a measure; 0 means it has none. */
export const semFigureKey = (measure: MeasureKey): string => `radiograph.sem.${measure}`;

const SEM_OF_CLASS: Record<Exclude<ErrorClass, "own">, string> = {
  distance: SEM_DISTANCE_MM.key,
  angle: SEM_ANGLE_DEGREES.key,
  founder: SEM_FOUNDER_MM.key,
};

/**
 * The figures from a look-up by figure key (the key of a setting, and below it the name of the part).
 * Of a measure the practice's own reading error counts before that of its kind.
 */
export const filmFiguresOf = (valueOf: (key: string) => number): FilmFigures => {
  const part = (setting: { readonly key: string }, name: string): number =>
    valueOf(`${setting.key}.${name}`);
  const ageOf = (setting: { readonly key: string }): FilmAgeLimits => ({
    amberAfterDays: part(setting, "amberAfterDays"),
    redAfterDays: part(setting, "redAfterDays"),
  });
  const sems = [...LATEROMEDIAL_DEFINITIONS, ...DORSOPALMAR_DEFINITIONS].flatMap(
    ({ key, errorClass }) => {
      const own = valueOf(semFigureKey(key));
      if (own > 0) return [[key, own] as const];
      return errorClass === "own" ? [] : [[key, valueOf(SEM_OF_CLASS[errorClass])] as const];
    },
  );
  return {
    landmarkSpread: { mm: valueOf(LANDMARK_SD_MM.key), px: valueOf(LANDMARK_SD_PX.key) },
    edgeReach: { mm: valueOf(EDGE_REACH_MM.key), px: valueOf(EDGE_REACH_PX.key) },
    wedgeSdDegrees: valueOf(WEDGE_SD_DEGREES.key),
    uncalibratedScaleSd: valueOf(UNCALIBRATED_SCALE_SD.key),
    sem: Object.fromEntries(sems),
    limits: {
      boneAngleDriftDegrees: valueOf(BONE_ANGLE_DRIFT_DEGREES.key),
      crossCheckMm: valueOf(CROSS_CHECK_MM.key),
      boneLengthDriftFraction: valueOf(BONE_LENGTH_DRIFT_FRACTION.key),
      wallMarkerGapMm: valueOf(WALL_MARKER_GAP_MM.key),
      wallMarkerAngleDegrees: valueOf(WALL_MARKER_ANGLE_DEGREES.key),
      magnification: {
        low: part(PLAUSIBLE_MAGNIFICATION, "low"),
        high: part(PLAUSIBLE_MAGNIFICATION, "high"),
      },
    },
    filmAge: {
      treatment: ageOf(FILM_AGE_TREATMENT),
      maintenance: ageOf(FILM_AGE_MAINTENANCE),
    },
    studySize: {
      films: part(REPEAT_STUDY_SIZE, "films"),
      readers: part(REPEAT_STUDY_SIZE, "readers"),
      repeats: part(REPEAT_STUDY_SIZE, "repeats"),
    },
  };
};
