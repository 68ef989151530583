import type { LandmarkSetView } from "@heelward/contracts";
import {
  missingPositionItems,
  type MeasuredFilm,
  type PositionCardItem,
} from "@heelward/domain/geometry";
import {
  trimMeasuresOfFilm,
  type FootMeasures,
  type PrescriptionFilm,
} from "@heelward/domain/trim";
import { daysBetween, localDateOf } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { ownReadingErrors } from "../radiographs/reading-figures.ts";
import { measuredFilms, type RadiographRow } from "../radiographs/service.ts";
import { scaleOf } from "../radiographs/view.ts";

type Measured = {
  readonly row: RadiographRow;
  readonly set: LandmarkSetView;
  readonly measured: MeasuredFilm;
};

const filmFacts = ({ row }: Measured, nowMs: number): PrescriptionFilm => ({
  foot: row.foot,
  ageDays: daysBetween(
    localDateOf(row.takenAt.getTime(), row.timeZone),
    localDateOf(nowMs, row.timeZone),
  ),
  hasScale: scaleOf(row).kind !== "none",
  sideConfirmed: row.sideConfirmedAt !== null,
  missingQuality: missingPositionItems(row.positionCard as PositionCardItem[]).map(
    (item) => item.label,
  ),
});

/** A measured film and the one of the same foot before it. */
export interface FilmWithBefore {
  readonly film: Measured;
  readonly before: Measured | undefined;
}

const sideViews = async (work: Work, horseId: string): Promise<readonly Measured[]> =>
  (await measuredFilms(work, horseId)).filter((one) => one.row.view === "lateromedial");

const withBefore = (films: readonly Measured[], film: Measured): FilmWithBefore => ({
  film,
  before: films
    .filter((one) => one.row.foot === film.row.foot && one.row.takenAt < film.row.takenAt)
    .at(-1),
});

/** The newest measured side view of each foot among the films a plan rests on, by foot. */
export const filmsOfPlan = async (
  work: Work,
  horseId: string,
  radiographIds: readonly string[],
): Promise<ReadonlyMap<string, FilmWithBefore>> => {
  const films = await sideViews(work, horseId);
  return new Map(
    films
      .filter((one) => radiographIds.includes(one.row.id))
      .map((film) => [film.row.foot, withBefore(films, film)]),
  );
};

/** The same with what each film says, for the checks before a signature. */
export const measuresForPlan = async (
  work: Work,
  horseId: string,
  radiographIds: readonly string[],
): Promise<{ readonly films: readonly PrescriptionFilm[]; readonly measures: FootMeasures }> => {
  const chosen = [...(await filmsOfPlan(work, horseId, radiographIds)).values()];
  const study = await ownReadingErrors(work);
  const measures = chosen.flatMap(({ film, before }) => {
    const judged = trimMeasuresOfFilm(film.measured, before?.measured, study);
    return judged.ok ? [[film.row.foot, judged.measures] as const] : [];
  });
  return {
    films: chosen.map(({ film }) => filmFacts(film, work.nowMs)),
    measures: Object.fromEntries(measures),
  };
};

/** One measured side view with the film before it, for a proposal. */
export const filmForProposal = async (
  work: Work,
  horseId: string,
  radiographId: string,
): Promise<FilmWithBefore | null> => {
  const films = await sideViews(work, horseId);
  const film = films.find((one) => one.row.id === radiographId);
  return film === undefined ? null : withBefore(films, film);
};
