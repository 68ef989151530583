import type { CareDay } from "@heelward/contracts";
import { localDateOf, MS_PER_DAY, MS_PER_HOUR } from "@heelward/domain/time";
import { badField, notFound } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";
import * as careStore from "./care-day-store.ts";
import { loadMedication, type HorseMedication } from "./context.ts";
import { careItems } from "./dose-day.ts";
import { findHorses } from "./store.ts";
import { isOver } from "./views.ts";

/** Hours between yard checks: in the painful phases, and of others on medicine. Source: house rule. */
const CHECK_EVERY_HOURS = { painful: 12, onMedicine: 24 } as const;
const PAINFUL_PHASES: readonly string[] = ["acute", "subacute"];
/** A check shows as due this long before its time. Source: house rule. */
const CHECK_NOTICE_MS = MS_PER_HOUR;
/** Days of doses that say where one of today stands. */
const LOOK_BACK_DAYS = 90;

const checkOf = (
  medication: HorseMedication,
  last: careStore.LastCheck | undefined,
  date: string,
  nowMs: number,
): CareDay["checks"] => {
  const { horse, courses } = medication;
  if (horse.openCaseId === null || horse.phase === null) return [];
  const onMedicine = courses.some(
    (course) => (course.status === "signed" || course.status === "held") && !isOver(course, nowMs),
  );
  const everyHours = PAINFUL_PHASES.includes(horse.phase)
    ? CHECK_EVERY_HOURS.painful
    : onMedicine
      ? CHECK_EVERY_HOURS.onMedicine
      : undefined;
  const isToday = date === localDateOf(nowMs, horse.timeZone);
  return [
    {
      horse: { id: horse.id, name: horse.name },
      caseId: horse.openCaseId,
      lastCheckAt: last?.examinedAt.toISOString() ?? null,
      lastScore: last?.score ?? null,
      due:
        isToday &&
        everyHours !== undefined &&
        (last === undefined ||
          nowMs >= last.examinedAt.getTime() + everyHours * MS_PER_HOUR - CHECK_NOTICE_MS),
    },
  ];
};

/** What the yard does on a day: doses by time, checks, and the first-aid sheets still open. */
export const readCareDay = async (
  work: Work,
  date: string,
  yardId: string | undefined,
): Promise<CareDay> => {
  const { tx, nowMs } = work;
  if (yardId !== undefined && (await tx.yard.count({ where: { id: yardId } })) === 0)
    throw notFound("yard");
  const practice = await readPractice(work);
  const farOff = Math.abs(Date.parse(`${date}T12:00:00Z`) - nowMs) > 400 * MS_PER_DAY;
  if (farOff) throw badField("/date", "lies more than 400 days away");
  const horses = await findHorses(tx, { yardId });
  const ids = horses.map((horse) => horse.id);
  const lookBackDays =
    LOOK_BACK_DAYS + Math.max(0, Math.ceil((nowMs - Date.parse(`${date}T00:00:00Z`)) / MS_PER_DAY));
  const all = await loadMedication(work, horses, { lookBackDays });
  const lastChecks = new Map(
    (await careStore.findLastChecks(tx, ids)).map((one) => [one.horseId, one]),
  );
  return {
    date,
    vetPhone: practice.phone,
    doses: all
      .flatMap((medication) => careItems(medication, date))
      .toSorted(
        (a, b) =>
          Date.parse(a.scheduledAt) - Date.parse(b.scheduledAt) ||
          a.horse.name.localeCompare(b.horse.name),
      ),
    checks: all.flatMap((medication) =>
      checkOf(medication, lastChecks.get(medication.horse.id), date, nowMs),
    ),
    firstAid: await careStore.findOpenSheets(tx, ids),
  };
};
