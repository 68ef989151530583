import { WEIGHT_CHANGE_SETTINGS } from "@heelward/domain/horse";
import { metabolicValues, type MetabolicValues } from "@heelward/domain/metabolic";
import type { Work } from "../../http/work.ts";
import { practiceToday } from "../people/practice.ts";
import { figuresBeginning, ownSettings } from "../settings/values.ts";

/** The figures of cause, feed and recovery as they hold today, the practice's own in their places. */
export const metabolicFigures = async (work: Work): Promise<MetabolicValues> =>
  metabolicValues(
    Object.fromEntries(await figuresBeginning(work, "metabolic.", await practiceToday(work))),
  );

/** How much weight may go in a week, and which change holds what was worked out by weight. */
export const weightFigures = async (work: Work) =>
  ownSettings(work, WEIGHT_CHANGE_SETTINGS, await practiceToday(work));
