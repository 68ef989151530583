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

/** The newest measured side view of each foot among the films a plan rests on, with what it says. */
export const measuresForPlan = async (
  work: Work,
  horseId: string,
  radiographIds: readonly string[],
): Promise<{ readonly films: readonly PrescriptionFilm[]; readonly measures: FootMeasures }> => {
  const lateral = (await measuredFilms(work, horseId)).filter(
    (one) => one.row.view === "lateromedial",
  );
  const chosen = lateral.filter((one) => radiographIds.includes(one.row.id));
  const study = await ownReadingErrors(work);
  const newest = new Map(chosen.map((one) => [one.row.foot, one]));
  const measures = [...newest.values()].flatMap((film) => {
    const before = lateral
      .filter((one) => one.row.foot === film.row.foot && one.row.takenAt < film.row.takenAt)
      .at(-1);
    const judged = trimMeasuresOfFilm(film.measured, before?.measured, study);
    return judged.ok ? [[film.row.foot, judged.measures] as const] : [];
  });
  return {
    films: [...newest.values()].map((film) => filmFacts(film, work.nowMs)),
    measures: Object.fromEntries(measures),
  };
};

/** One measured side view with the film before it, for a proposal. */
export const filmForProposal = async (
  work: Work,
  horseId: string,
  radiographId: string,
): Promise<{ readonly film: Measured; readonly before: Measured | undefined } | null> => {
  const lateral = (await measuredFilms(work, horseId)).filter(
    (one) => one.row.view === "lateromedial",
  );
  const film = lateral.find((one) => one.row.id === radiographId);
  if (film === undefined) return null;
  return {
    film,
    before: lateral
      .filter((one) => one.row.foot === film.row.foot && one.row.takenAt < film.row.takenAt)
      .at(-1),
  };
};
