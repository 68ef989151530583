import { addDays, type LocalDate } from "../time/index.ts";
import { drugOf } from "./formulary/index.ts";
import { RULE } from "./formulary/sources.ts";
import type { Source } from "../evidence/index.ts";

/** A blood test or weighing to book with a course. */
export interface MonitoringTask {
  readonly kind: "blood" | "weigh";
  readonly dueOn: LocalDate;
  readonly tests: readonly string[];
  readonly source: Source;
}

/** Re-weigh interval on any course, and on medicines that take weight off. Source: house rule. */
const WEIGH_EVERY_DAYS = { usual: 14, losing: 7 } as const;

/**
 * Tests and weighings a course brings with it. `lastDay` is the last course day; a test due after
 * the last dose is not booked, except the baseline.
 */
export const monitoringTasks = (course: {
  readonly drugKey: string;
  readonly startOn: LocalDate;
  readonly lastDay: number;
}): readonly MonitoringTask[] => {
  const drug = drugOf(course.drugKey);
  if (drug === undefined) return [];
  const bloods = drug.monitoring.flatMap((rule) => {
    const days: number[] = rule.onDays.filter((day) => day <= course.lastDay);
    const last = rule.onDays.at(-1) ?? 0;
    if (rule.thenEveryDays !== undefined)
      for (let day = last + rule.thenEveryDays; day <= course.lastDay; day += rule.thenEveryDays)
        days.push(day);
    return days.map((day): MonitoringTask => ({
      kind: "blood",
      dueOn: addDays(course.startOn, day),
      tests: rule.tests,
      source: rule.source,
    }));
  });
  const every = drug.classes.includes("SGLT2 inhibitor")
    ? WEIGH_EVERY_DAYS.losing
    : WEIGH_EVERY_DAYS.usual;
  const weighings: MonitoringTask[] = [];
  for (let day = every; day <= course.lastDay; day += every)
    weighings.push({
      kind: "weigh",
      dueOn: addDays(course.startOn, day),
      tests: ["weight"],
      source: RULE.review,
    });
  return [...bloods, ...weighings].toSorted((a, b) => (a.dueOn < b.dueOn ? -1 : 1));
};
