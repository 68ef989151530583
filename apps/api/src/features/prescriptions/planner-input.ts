import type { Horse } from "@heelward/contracts";
import type { Phase } from "@heelward/domain/cases";
import { intervalCeilingDays } from "@heelward/domain/cycle";
import type { Finding } from "@heelward/domain/evidence";
import type { MeasuredFilm } from "@heelward/domain/geometry";
import { localDateOf } from "@heelward/domain/time";
import {
  checkTrimMeasures,
  trimMeasuresOfFilm,
  type Foot,
  type Range,
  type TrimInput,
} from "@heelward/domain/trim";
import { defined } from "../../http/defined.ts";
import type { Work } from "../../http/work.ts";
import { ownReadingErrors } from "../radiographs/reading-figures.ts";
import { growthOf } from "../shoeing/growth.ts";
import type { PlannerFigures } from "./figures.ts";

/** Used where a horse has never been weighed: the plan's millimetres do not depend on it, only the pressure estimates do. */
const UNKNOWN_WEIGHT_KG = 450;

/** What a person wishes of a plan beyond what the film says. */
export interface PlannerWishes {
  readonly shoe: string;
  readonly supportFill: string;
  readonly fixing: string;
  readonly emergency: boolean;
  readonly intervalDays?: number | undefined;
  readonly palmarAngleTargetDegrees?: Range | undefined;
  readonly breakoverTargetMm?: Range | undefined;
  readonly soleMinMm?: number | undefined;
  readonly heelPerVisitMm?: number | undefined;
  /** The limit of this plan where it differs from the horse's. */
  readonly limitMm?: number | null | undefined;
}

export type PlannerInput =
  | { readonly ok: true; readonly input: TrimInput }
  | { readonly ok: false; readonly findings: readonly Finding[] };

/** Everything the planner needs for one foot: its film, the case, the horse, and the practice's figures of today. */
export const plannerInput = async (
  work: Work,
  film: {
    readonly film: { readonly measured: MeasuredFilm };
    readonly before: { readonly measured: MeasuredFilm } | undefined;
  },
  about: {
    readonly foot: Foot;
    readonly phase: Phase;
    readonly horse: Horse;
    readonly figures: PlannerFigures;
    readonly wishes: PlannerWishes;
  },
): Promise<PlannerInput> => {
  const { horse, figures, wishes, phase } = about;
  const judged = trimMeasuresOfFilm(
    film.film.measured,
    film.before?.measured,
    await ownReadingErrors(work),
  );
  if (!judged.ok)
    return {
      ok: false,
      findings: [
        {
          rule: "prescription/measures@1",
          outcome: "block",
          detail: `The film lacks ${judged.lacking.join(", ")}: place the missing points and the scale.`,
          source: {
            id: "house/planner-inputs",
            citation: "What the trim planner needs from a film",
            status: "house rule",
          },
        },
      ],
    };
  const impossible = checkTrimMeasures(judged.measures);
  if (impossible.length > 0) return { ok: false, findings: impossible };
  const ceilingDays = phase === "closed" ? 35 : intervalCeilingDays(phase, figures.own);
  const limitMm = wishes.limitMm ?? horse.breakoverLimitMm;
  const growth = await growthOf(work, horse.id, figures);
  return {
    ok: true,
    input: {
      foot: about.foot,
      values: figures.trim,
      own: figures.catalogue,
      measures: judged.measures,
      phase,
      animal: horse.type,
      weightKg: horse.latestWeighing?.weightKg ?? UNKNOWN_WEIGHT_KG,
      emergency: wishes.emergency,
      shoe: wishes.shoe,
      supportFill: wishes.supportFill,
      fixing: wishes.fixing,
      intervalDays: wishes.intervalDays ?? horse.resetIntervalDays ?? ceilingDays,
      ceilingDays,
      targets: defined({
        palmarAngleDegrees: wishes.palmarAngleTargetDegrees,
        breakoverMm: wishes.breakoverTargetMm,
        soleMinMm: wishes.soleMinMm,
        heelRemoveMaxMm: wishes.heelPerVisitMm,
      }),
      ...(limitMm === null
        ? {}
        : {
            growth: {
              startOn: localDateOf(work.nowMs, horse.yard.timeZone),
              growthMmPer30d: growth.growthMmPer30d,
              cv: growth.cv,
              values: figures.growth,
              limitMm,
              ...defined({ wearFraction: horse.wearFraction ?? undefined }),
            },
          }),
    },
  };
};
