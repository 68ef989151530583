import type { readPlannerFigures } from "@heelward/contracts";
import type { OwnFigures } from "@heelward/domain/evidence";
import { growthValues, type GrowthValues } from "@heelward/domain/growth";
import type { LocalDate } from "@heelward/domain/time";
import {
  AS_DONE_TOLERANCES,
  trimValues,
  type AsDoneTolerances,
  type TrimValues,
} from "@heelward/domain/trim";
import { withOwnFigures } from "@heelward/domain/evidence";
import type { z } from "zod";
import type { Work } from "../../http/work.ts";
import { practiceCatalogue, type PracticeCatalogue } from "../catalogue/service.ts";
import { practiceToday } from "../people/practice.ts";
import { figuresBeginning } from "../settings/values.ts";

/** What planner, checks and forecasts go by on a day: figures and devices of the practice. */
export interface PlannerFigures {
  readonly on: LocalDate;
  readonly own: OwnFigures;
  readonly trim: TrimValues;
  readonly growth: GrowthValues;
  readonly tolerances: AsDoneTolerances;
  readonly catalogue: PracticeCatalogue;
}

/** The figures in force on a day; left out, today at the practice. */
export const plannerFigures = async (work: Work, wished?: LocalDate): Promise<PlannerFigures> => {
  const on = wished ?? (await practiceToday(work));
  const trim = await figuresBeginning(work, "trim.", on);
  const growth = await figuresBeginning(work, "growth.", on);
  const cycle = await figuresBeginning(work, "cycle.", on);
  const own = Object.fromEntries([...trim, ...growth, ...cycle]);
  return {
    on,
    own,
    trim: trimValues(own),
    growth: growthValues(own),
    tolerances: withOwnFigures(AS_DONE_TOLERANCES, own),
    catalogue: await practiceCatalogue(work),
  };
};

/** The same for whoever plans and forecasts on the screen while sliders are moved. */
export const read = async (work: Work): Promise<z.input<typeof readPlannerFigures.response>> => {
  const { on, own, catalogue } = await plannerFigures(work);
  return { on, own, catalogue: JSON.parse(JSON.stringify(catalogue)) as never };
};
