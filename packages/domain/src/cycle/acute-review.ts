import { addDays, type LocalDate } from "../time/index.ts";
import { ACUTE_REVIEW_SETTING } from "./settings.ts";

/** The days between which the vet looks again after the first visit of an acute case. */
export const acuteReviewWindow = (
  firstVisitOn: LocalDate,
  setting = ACUTE_REVIEW_SETTING,
): { readonly fromOn: LocalDate; readonly byOn: LocalDate } => ({
  fromOn: addDays(firstVisitOn, setting.value.leastDays),
  byOn: addDays(firstVisitOn, setting.value.mostDays),
});
