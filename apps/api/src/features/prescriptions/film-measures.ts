import type { LandmarkSetView } from "@heelward/contracts";
import {
  compareMeasurements,
  missingPositionItems,
  type MeasuredFilm,
  type MeasureKey,
  type PositionCardItem,
} from "@heelward/domain/geometry";
import type { FootMeasures, PrescriptionFilm, Reading, TrimMeasures } from "@heelward/domain/trim";
import { daysBetween, localDateOf } from "@heelward/domain/time";
import { defined } from "../../http/defined.ts";
import type { Work } from "../../http/work.ts";
import { measuredFilms, type RadiographRow } from "../radiographs/service.ts";
import { scaleOf } from "../radiographs/view.ts";

type Measured = {
  readonly row: RadiographRow;
  readonly set: LandmarkSetView;
  readonly measured: MeasuredFilm;
};

const reading = (set: LandmarkSetView, key: MeasureKey): Reading | undefined => {
  const found = set.measurements.find((one) => one.key === key);
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

/** What the planner needs from a film, or the labels of the measures it lacks. */
export const trimMeasuresOf = (
  film: Measured,
  before: Measured | undefined,
):
  | { readonly ok: true; readonly measures: TrimMeasures }
  | { readonly ok: false; readonly lacking: readonly string[] } => {
  const { set, row } = film;
  const lacking = Object.values(NEEDED).filter((key) => reading(set, key) === undefined);
  if (lacking.length > 0)
    return {
      ok: false,
      lacking: lacking.map((key) => set.measurements.find((one) => one.key === key)?.label ?? key),
    };
  const needed = Object.fromEntries(
    Object.entries(NEEDED).map(([name, key]) => [name, reading(set, key)]),
  ) as Record<keyof typeof NEEDED, Reading>;
  const breakover = needed.breakoverDistanceMm;
  const fromFrog = reading(set, "breakoverFromFrogTip");
  const lever = reading(set, "leverArm");
  const height = reading(set, "centreOfRotationHeight");
  const founder =
    before === undefined
      ? null
      : compareMeasurements("founderDistance", before.measured, film.measured);
  return {
    ok: true,
    measures: {
      ...needed,
      wedgeInPlaceDegrees: row.wedgeDegrees,
      ...defined({
        // The frog tip lies behind the tip of P3 by as much as it is further from breakover.
        frogTipToP3TipMm:
          fromFrog === undefined
            ? undefined
            : {
                value: fromFrog.value - breakover.value,
                standardUncertainty: Math.hypot(
                  fromFrog.standardUncertainty,
                  breakover.standardUncertainty,
                ),
              },
        heelHeightMm: reading(set, "heelHeight"),
        toeLengthMm: reading(set, "toeLength"),
        founderDistanceMm: reading(set, "founderDistance"),
        founderChangeMm: founder?.difference ?? undefined,
        centreOfRotation:
          lever === undefined || height === undefined
            ? undefined
            : { xMm: breakover.value - lever.value, heightMm: height.value },
      }),
    },
  };
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
  const newest = new Map(chosen.map((one) => [one.row.foot, one]));
  const measures = [...newest.values()].flatMap((film) => {
    const before = lateral
      .filter((one) => one.row.foot === film.row.foot && one.row.takenAt < film.row.takenAt)
      .at(-1);
    const judged = trimMeasuresOf(film, before);
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
