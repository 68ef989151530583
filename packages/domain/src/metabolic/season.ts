import type { Source } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";
import { autumnActhTask, type Hemisphere } from "./acth.ts";
import { METABOLIC_STANDARD, type MetabolicValues } from "./settings.ts";

const GRASS: Source = {
  id: "common/season-grass",
  citation:
    "Spring growth and frosted grass are rich in sugars; common teaching, figures vary with pasture",
  status: "common practice",
};
const AUTUMN: Source = {
  id: "published/acth-season",
  citation:
    "Seasonal rise of ACTH: peak late August to early October in the north (PubMed 40749730), March to April in the south (Secombe 2017)",
  status: "published",
};

export interface SeasonTask {
  readonly kind: "autumn ACTH" | "spring grass" | "frost";
  readonly dueOn: LocalDate;
  readonly why: string;
  readonly source: Source;
}

/** Months, northern half of the year, in which each reminder opens. Source: common practice. */
const SEASONS = {
  spring: { from: "04-01", to: "05-31" },
  frost: { from: "11-01", to: "11-30" },
} as const;

const shifted = (on: LocalDate, hemisphere: Hemisphere): string => {
  if (hemisphere === "north") return on.slice(5);
  const month = ((Number(on.slice(5, 7)) + 5) % 12) + 1;
  return `${String(month).padStart(2, "0")}-${on.slice(8)}`;
};

/**
 * What the season asks for on a day. Every animal with PPID gets its hormone test from the first of
 * August; animals with an endocrine cause get the grass reminders.
 */
export const seasonTasks = (
  conditions: readonly string[],
  on: LocalDate,
  hemisphere: Hemisphere = "north",
  values: MetabolicValues = METABOLIC_STANDARD,
): readonly SeasonTask[] => {
  const day = shifted(on, hemisphere);
  const endocrine = ["PPID", "insulin dysregulation", "previous laminitis"].some((name) =>
    conditions.includes(name),
  );
  const acth = autumnActhTask(conditions, on, hemisphere, values);
  const tasks: SeasonTask[] = [];
  if (acth !== undefined) tasks.push({ kind: "autumn ACTH", ...acth, source: AUTUMN });
  if (endocrine && day >= SEASONS.spring.from && day <= SEASONS.spring.to)
    tasks.push({
      kind: "spring grass",
      dueOn: addDays(on, 7),
      why: "The grass is growing fast: fence, muzzle or keep off it; weigh and look at the crest.",
      source: GRASS,
    });
  if (endocrine && day >= SEASONS.frost.from && day <= SEASONS.frost.to)
    tasks.push({
      kind: "frost",
      dueOn: addDays(on, 7),
      why: "Frosted grass holds its sugar: no turnout on frosty mornings.",
      source: GRASS,
    });
  return tasks;
};
