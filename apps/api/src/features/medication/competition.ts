import {
  counts,
  DETECTION_TIMES,
  drugOf,
  earliestClear,
  FORMULARY,
  type DetectionTime,
} from "@heelward/domain/medication";
import { addDays, localDateOf, startOfDay, type LocalDate } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { ownValues } from "../settings/values.ts";
import { readMedication } from "./context.ts";
import { openCourses } from "./holds.ts";
import { MEDICATION_SETTING_KEYS } from "./settings.ts";
import { drugName, isOver } from "./views.ts";

const CAUTION =
  "Detection time is not withdrawal time: the vet adds a margin for the horse, the dose and the length of treatment, and the list in force is read first. A laminitic horse in pain does not compete.";

/** A medicine this long ago no longer says anything about a test: the longest figure, thrice. Source: house rule. */
const LOOK_BACK_TIMES = 3;

/** The list in force: what the practice entered, with the list's name as its source, before the figures to start from. */
const listInForce = async (work: Work, on: LocalDate): Promise<readonly DetectionTime[]> => {
  const keyOf = (drugKey: string) => `${MEDICATION_SETTING_KEYS.detection}${drugKey}`;
  const own = await ownValues(
    work,
    FORMULARY.map((drug) => keyOf(drug.key)),
    on,
  );
  const entered = FORMULARY.flatMap((drug): readonly DetectionTime[] => {
    const row = own.find((one) => one.key === keyOf(drug.key));
    return row === undefined
      ? []
      : [
          {
            drugKey: drug.key,
            hours: row.value,
            list: row.source,
            listDate: row.since,
            source: { id: "practice", citation: row.source, status: "house rule" },
          },
        ];
  });
  const isEntered = new Set(entered.map((row) => row.drugKey));
  return [
    ...entered.filter((row) => row.hours > 0),
    ...DETECTION_TIMES.filter((row) => !isEntered.has(row.drugKey)),
  ];
};

/**
 * Earliest day a named list would call clear, medicine by medicine. While a medicine has no figure
 * in the list, or still runs, there is no day for the horse.
 */
export const read = async (work: Work, horseId: string) => {
  const { context, courses, ...medication } = await readMedication(work, horseId);
  const { nowMs } = work;
  const list = await listInForce(work, localDateOf(nowMs, context.zone));
  const lookBackMs = LOOK_BACK_TIMES * Math.max(...list.map(({ hours }) => hours)) * 3_600_000;
  const given = context.doses.filter((dose) => counts(dose) && dose.givenAtMs > nowMs - lookBackMs);
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
    const clear = earliestClear(drugKey, lastMs, list) ?? earliestClear(moiety, lastMs, list);
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
