import type { Source } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";

const HOUSE: Source = {
  id: "house/metabolic-rechecks",
  citation:
    "House rule: weight weekly, crest and condition every two weeks; insulin 2-4 weeks after a change of diet or medicine, then every 3 months until low, then every 6",
  status: "house rule",
};

export interface Recheck {
  readonly what: "weight" | "crest and condition" | "insulin";
  readonly dueOn: LocalDate;
  readonly source: Source;
}

/** Where an animal with insulin trouble stands. */
export type MetabolicState = "after a change" | "not yet low" | "low";

/** Days to the next insulin sample: the middle of 2-4 weeks, a quarter, half a year. */
const INSULIN_DAYS: Readonly<Record<MetabolicState, number>> = {
  "after a change": 21,
  "not yet low": 91,
  low: 182,
};

/** The next date of each recheck, counted from the last time it was done. */
export const metabolicRechecks = (
  state: MetabolicState,
  last: {
    readonly weightOn: LocalDate;
    readonly crestOn: LocalDate;
    readonly insulinOn: LocalDate;
  },
): readonly Recheck[] => [
  { what: "weight", dueOn: addDays(last.weightOn, 7), source: HOUSE },
  { what: "crest and condition", dueOn: addDays(last.crestOn, 14), source: HOUSE },
  { what: "insulin", dueOn: addDays(last.insulinOn, INSULIN_DAYS[state]), source: HOUSE },
];
