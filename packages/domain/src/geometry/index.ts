/**
 * Radiograph geometry: points on a film become measures with uncertainty, checks and comparisons.
 * Pure; the film itself never comes here.
 */
export { checkFilm, checkMarker, type CheckLimits, type MarkerCheckInput } from "./check-film.ts";
export { fitCircle, type Circle, type Point } from "./circle-fit.ts";
export {
  compareFeet,
  compareFilms,
  compareMeasurements,
  NOT_CLEARLY_DIFFERENT,
  semOf,
  smallestRealChangeOf,
  type Comparison,
  type SemByMeasure,
} from "./compare.ts";
export { constructionLines, type ConstructionLine } from "./construction-lines.ts";
export { frontConstructionLines } from "./front-construction-lines.ts";
export {
  dorsopalmarLandmarksOf,
  lateromedialLandmarksOf,
  type FilmPlacement,
  type FootShape,
  type FrontShape,
} from "./construct-foot.ts";
export {
  DORSOPALMAR_DEFINITIONS,
  DORSOPALMAR_LANDMARKS,
  type DorsopalmarMeasure,
} from "./dorsopalmar-definitions.ts";
export { measureDorsopalmar, type DorsopalmarInput } from "./dorsopalmar.ts";
export { filmFiguresOf, MEASURE_KEYS, semFigureKey, type FilmFigures } from "./film-figures.ts";
export { filmAge, type FilmAge, type FilmAgeState } from "./film-age.ts";
export {
  definitionOf,
  footValueOf,
  type BeamCentring,
  type FilmContext,
  type FilmView,
  type FootCode,
  type MeasuredFilm,
  type MeasureKey,
  type Reading,
} from "./film.ts";
export type { DorsopalmarLandmark, LateromedialLandmark } from "./landmarks.ts";
export {
  LATEROMEDIAL_DEFINITIONS,
  LATEROMEDIAL_LANDMARKS,
  type Landmark,
  type LateromedialMeasure,
} from "./lateromedial-definitions.ts";
export { articularCircle, measureLateromedial, type LateromedialInput } from "./lateromedial.ts";
export {
  hornLamellarRatioZ,
  literatureStatements,
  type LiteratureStatement,
} from "./literature.ts";
export {
  measureLucentLine,
  type LucentLineInput,
  type LucentLineMeasure,
  type LucentLineResult,
} from "./lucent-line.ts";
export type {
  ErrorClass,
  Interval,
  MeasureDefinition,
  Measurement,
  MeasureUnit,
} from "./measurement.ts";
export {
  missingPositionItems,
  POSITION_CARD_ITEMS,
  positionFindings,
  type PositionCardItem,
} from "./position-card.ts";
export {
  apparentAngleDegrees,
  foreshortening,
  magnification,
  markerPlaneFactor,
  palmarAngleFromSolesDegrees,
  rotationFromWallDistancesDegrees,
  trueLengthMm,
  wedgeDegreesOf,
  wedgeHeightMm,
  wingSplitMm,
} from "./projection.ts";
export type { AnimalKind, AnimalType, ReferenceRange } from "./references.ts";
export {
  repeatReadingStudy,
  type RepeatReading,
  type RepeatReadingResult,
  type RepeatStudySize,
} from "./repeat-reading.ts";
export {
  millimetresPerPixel,
  type LandmarkDeviation,
  type LandmarkSpread,
  type MarkerScale,
  type MillimetresPerPixel,
  type NoScale,
  type PointMap,
  type Scale,
  type SpacingScale,
} from "./scale.ts";
export {
  COVERAGE_FACTOR,
  FILM_AGE_MAINTENANCE,
  FILM_AGE_TREATMENT,
  GEOMETRY_SETTINGS,
  SEM_ANGLE_DEGREES,
  SEM_DISTANCE_MM,
  SEM_FOUNDER_MM,
  UNCALIBRATED_SCALE_SD,
  type FilmAgeLimits,
} from "./settings.ts";
export { detectSinking, heelRaiseFindings, type SinkingSign } from "./sinking.ts";
