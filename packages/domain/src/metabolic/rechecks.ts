import type { Source } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";
import { METABOLIC_SETTINGS, METABOLIC_STANDARD, type MetabolicValues } from "./settings.ts";

export interface Recheck {
  readonly what: "weight" | "crest and condition" | "insulin";
  readonly dueOn: LocalDate;
  readonly source: Source;
}

/** Where an animal with insulin trouble stands. */
export type MetabolicState = "after a change" | "not yet low" | "low";

const insulinDays = (state: MetabolicState, { recheckDays }: MetabolicValues): number =>
  state === "after a change"
    ? recheckDays.insulinAfterChange
    : state === "low"
      ? recheckDays.insulinLow
      : recheckDays.insulinNotLow;

/** The next date of each recheck, counted from the last time it was done. */
export const metabolicRechecks = (
  state: MetabolicState,
  last: {
    readonly weightOn: LocalDate;
    readonly crestOn: LocalDate;
    readonly insulinOn: LocalDate;
  },
  values: MetabolicValues = METABOLIC_STANDARD,
): readonly Recheck[] => {
  const { source } = METABOLIC_SETTINGS.recheckDays;
  return [
    { what: "weight", dueOn: addDays(last.weightOn, values.recheckDays.weight), source },
    { what: "crest and condition", dueOn: addDays(last.crestOn, values.recheckDays.crest), source },
    { what: "insulin", dueOn: addDays(last.insulinOn, insulinDays(state, values)), source },
  ];
};
