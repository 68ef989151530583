import { counts, DETECTION_TIMES, drugOf, earliestClear } from "@heelward/domain/medication";
import { addDays, localDateOf, startOfDay } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { readMedication } from "./context.ts";
import { openCourses } from "./holds.ts";
import { drugName, isOver } from "./views.ts";

const CAUTION =
  "Detection time is not withdrawal time: the vet adds a margin for the horse, the dose and the length of treatment, and the list in force is read first. A laminitic horse in pain does not compete.";

/** A medicine this long ago no longer says anything about a test. Longest figure of the list, thrice. */
const LOOK_BACK_HOURS = 3 * Math.max(...DETECTION_TIMES.map(({ hours }) => hours));

/**
 * Earliest day a named list would call clear, medicine by medicine. While a medicine has no figure
 * in the list, or still runs, there is no day for the horse.
 */
export const read = async (work: Work, horseId: string) => {
  const { context, courses, ...medication } = await readMedication(work, horseId);
  const { nowMs } = work;
  const given = context.doses.filter(
    (dose) => counts(dose) && dose.givenAtMs > nowMs - LOOK_BACK_HOURS * 3_600_000,
  );
  const running = new Set(
    openCourses({ context, courses, ...medication })
      .filter((course) => !isOver(course, nowMs))
      .map((course) => course.drugKey),
  );
  const items = [...new Set(given.map((dose) => dose.drugKey))].toSorted().map((drugKey) => {
    const lastMs = Math.max(
      ...given.filter((dose) => dose.drugKey === drugKey).map((dose) => dose.givenAtMs),
    );
    // A pro-drug is found as what it becomes.
    const moiety = drugOf(drugKey)?.moiety ?? drugKey;
    const clear = earliestClear(drugKey, lastMs) ?? earliestClear(moiety, lastMs);
    const day = clear === undefined ? undefined : localDateOf(clear.earliestMs, context.zone);
    return {
      drugKey,
      drugName: drugName(drugKey),
      lastDoseAt: new Date(lastMs).toISOString(),
      clearFrom: clear === undefined ? null : new Date(clear.earliestMs).toISOString(),
      clearOn:
        clear === undefined || day === undefined
          ? null
          : startOfDay(day, context.zone) === clear.earliestMs
            ? day
            : addDays(day, 1),
      list: clear?.list ?? null,
      listDate: clear?.listDate ?? null,
      verified: clear?.verified ?? false,
      stillRunning: running.has(drugKey),
    };
  });
  const isOpen =
    items.some((item) => item.clearOn === null || item.stillRunning) || running.size > 0;
  const days = items.flatMap((item) => (item.clearOn === null ? [] : [item.clearOn])).toSorted();
  return {
    items,
    earliestOn: isOpen ? null : (days.at(-1) ?? localDateOf(nowMs, context.zone)),
    caution: CAUTION,
  };
};
