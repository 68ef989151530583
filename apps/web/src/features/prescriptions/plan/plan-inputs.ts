import type {
  CaseView,
  FootPlanView,
  HoofGrowth,
  Horse,
  LandmarkSetView,
  RadiographView,
} from "@heelward/contracts";
import { intervalCeilingDays } from "@heelward/domain/cycle";
import { checkTrimMeasures, trimMeasuresOfFilm, type TrimInput } from "@heelward/domain/trim";
import { measuredFilmOf } from "../../../parts/measured-film.ts";
import type { PlannerFigures } from "../../../parts/planner-figures.ts";

/** A side view with its newest reading. */
export interface PlanFilm {
  readonly radiograph: RadiographView;
  readonly set: LandmarkSetView;
}

/** What a film gives for planning: everything the planner needs, or why not. */
export type FootBasis =
  | { readonly ok: true; readonly film: PlanFilm; readonly input: TrimInput }
  | { readonly ok: false; readonly film: PlanFilm; readonly lacking: readonly string[] };

/** Estimates of pressure need a weight; the millimetres of a plan do not depend on it. */
const UNKNOWN_WEIGHT_KG = 450;

/** The planner's input for one foot, as the service puts it together for a proposal. */
export const footBasis = (
  film: PlanFilm,
  before: PlanFilm | undefined,
  found: Pick<CaseView, "phase">,
  horse: Horse,
  choice: Pick<FootPlanView, "shoe" | "supportFill" | "fixing">,
  plan: {
    readonly emergency: boolean;
    readonly intervalDays?: number | undefined;
    readonly today: string;
    readonly figures: PlannerFigures;
    readonly growth: HoofGrowth;
  },
): FootBasis => {
  const zone = horse.yard.timeZone;
  const judged = trimMeasuresOfFilm(
    measuredFilmOf(film.radiograph, film.set, zone),
    before === undefined ? undefined : measuredFilmOf(before.radiograph, before.set, zone),
  );
  if (!judged.ok) return { ok: false, film, lacking: judged.lacking };
  const impossible = checkTrimMeasures(judged.measures);
  if (impossible.length > 0)
    return { ok: false, film, lacking: impossible.map((one) => one.detail) };
  const { phase } = found;
  const ceilingDays = phase === "closed" ? 35 : intervalCeilingDays(phase, plan.figures.byKey);
  return {
    ok: true,
    film,
    input: {
      foot: film.radiograph.foot,
      values: plan.figures.trim,
      own: plan.figures.own,
      measures: judged.measures,
      phase,
      animal: horse.type,
      weightKg: horse.latestWeighing?.weightKg ?? UNKNOWN_WEIGHT_KG,
      emergency: plan.emergency,
      ...choice,
      intervalDays: plan.intervalDays ?? horse.resetIntervalDays ?? ceilingDays,
      ceilingDays,
      ...(horse.breakoverLimitMm === null
        ? {}
        : {
            growth: {
              startOn: plan.today,
              growthMmPer30d: plan.growth.growthMmPer30d,
              cv: plan.growth.cv,
              values: plan.figures.growth,
              limitMm: horse.breakoverLimitMm,
              ...(horse.wearFraction === null ? {} : { wearFraction: horse.wearFraction }),
            },
          }),
    },
  };
};

/** The newest measured side view of each foot and the one before it. */
export const newestOfEachFoot = (
  films: readonly PlanFilm[],
): readonly { readonly film: PlanFilm; readonly before: PlanFilm | undefined }[] =>
  (["LF", "RF", "LH", "RH"] as const).flatMap((foot) => {
    const own = films
      .filter((one) => one.radiograph.foot === foot)
      .toSorted((a, b) => b.radiograph.takenAt.localeCompare(a.radiograph.takenAt));
    const [film, before] = own;
    return film === undefined ? [] : [{ film, before }];
  });
