import {
  checkFilm,
  checkMarker,
  constructionLines,
  frontConstructionLines,
  measureDorsopalmar,
  measureLateromedial,
  positionFindings,
  DORSOPALMAR_LANDMARKS,
  LATEROMEDIAL_LANDMARKS,
  type ConstructionLine,
  type FilmFigures,
  type MeasuredFilm,
  type MeasureKey,
  type Measurement,
  type PositionCardItem,
  type Scale,
} from "@heelward/domain/geometry";
import type { Finding } from "@heelward/domain/evidence";
import type { Film } from "@heelward/radiograph/film";
import { localDateOf } from "@heelward/domain/time";
import { badField } from "../../http/problem.ts";
import { defined } from "../../http/defined.ts";
import type { RadiographRow } from "./store.ts";
import { scaleOf } from "./view.ts";

type Points = Record<string, { readonly x: number; readonly y: number }>;
type AnimalType = "horse" | "pony" | "donkey";

const keysOf = (view: RadiographRow["view"]): readonly string[] =>
  (view === "lateromedial" ? LATEROMEDIAL_LANDMARKS : DORSOPALMAR_LANDMARKS).map(
    (landmark) => landmark.key,
  );

/** @throws Problem naming the first point that no landmark of this view has. */
export const assertLandmarks = (view: RadiographRow["view"], points: Points): void => {
  const known = keysOf(view);
  for (const key of Object.keys(points))
    if (!known.includes(key))
      throw badField(`/points/${key}`, `is not a landmark of the ${view} view`);
};

/** Every measure of a film from its landmarks, by the rules of the domain. */
export const measureFilm = (
  film: Pick<RadiographRow, "view" | "scale" | "wedgeDegrees" | "shod" | "groundLineOn">,
  animal: AnimalType,
  points: Points,
  figures: Pick<FilmFigures, "landmarkSpread" | "wedgeSdDegrees">,
): readonly Measurement[] => {
  const scale = defined(scaleOf(film)) as Scale;
  const shared = {
    landmarks: points,
    scale,
    animal: { kind: animal },
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

/** The lines along which a film's measures are taken, in image pixels. */
export const linesOf = (
  view: RadiographRow["view"],
  points: Points,
): readonly ConstructionLine<MeasureKey>[] =>
  view === "lateromedial" ? constructionLines(points) : frontConstructionLines(points);

/** A film with its measures in the form that comparisons and checks want. */
export const measuredFilm = (
  row: RadiographRow,
  measurements: readonly Pick<Measurement, "key" | "value" | "standardUncertainty">[],
): MeasuredFilm => ({
  film: {
    foot: row.foot,
    view: row.view,
    takenOn: localDateOf(row.takenAt.getTime(), row.timeZone),
    wedgeDegrees: row.wedgeDegrees,
    centring: row.beamCentring,
    positionCardComplete: positionFindings(row.positionCard as PositionCardItem[]).length === 0,
  },
  measurements: measurements as MeasuredFilm["measurements"],
});

/** Spacing at the detector as the file states it, where it is the same both ways. */
const detectorSpacing = (row: RadiographRow): number | undefined => {
  const { atDetector } = (row.film as Pick<Film, "spacing">).spacing ?? {};
  return atDetector !== undefined && atDetector.rowMm === atDetector.columnMm
    ? atDetector.rowMm
    : undefined;
};

/** What must be looked at before these marks are believed. */
export const checkMarks = (
  row: RadiographRow,
  points: Points,
  measured: MeasuredFilm,
  earlier: readonly MeasuredFilm[],
  limits: FilmFigures["limits"],
): readonly Finding[] => [
  ...checkFilm(measured, earlier, limits),
  ...(row.view === "lateromedial"
    ? checkMarker(
        {
          landmarks: points,
          scale: defined(scaleOf(row)) as Scale,
          detectorMmPerPx: detectorSpacing(row),
        },
        limits,
      )
    : []),
  ...positionFindings(row.positionCard as PositionCardItem[]),
];
