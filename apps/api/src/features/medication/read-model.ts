import type { CourseView } from "@heelward/contracts";
import { REWEIGH_ON_COURSE_DAYS, type Hold } from "@heelward/domain/medication";
import {
  addDays,
  localDateOf,
  MS_PER_DAY,
  startOfDay,
  type InstantMs,
} from "@heelward/domain/time";
import { notFound } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { Prisma } from "../../database/client.ts";
import { loadMedication, type HorseMedication } from "./context.ts";
import { careItems } from "./dose-day.ts";
import { findOtherMedicines, type OtherMedicineRow } from "./record-store.ts";
import * as store from "./store.ts";
import { courseView, drugName, isOver } from "./views.ts";

export { labResultsOf } from "../laboratory/read-model.ts";

/** What other lists need of a horse's medicines. All follow what the person asking may see. */
export { findCourses } from "./store.ts";

export type { OtherMedicineRow as OtherMedicine } from "./record-store.ts";

/** A horse with its type, conditions, yard's clock and place. @throws Problem when it is not to be seen. */
export const horseOf = async (work: Work, horseId: string): Promise<store.HorseRow> => {
  const [horse] = await store.findHorses(work.tx, { ids: [horseId] });
  if (horse === undefined) throw notFound("horse");
  return horse;
};

/** Those of the horses that may be seen, by name. */
export const horsesOf = (work: Work, ids: readonly string[]): Promise<store.HorseRow[]> =>
  store.findHorses(work.tx, { ids });

/** Weighings of a horse, oldest first. */
export const weightsOf = (work: Work, horseId: string): Promise<store.WeightRow[]> =>
  store.findWeights(work.tx, [horseId]);

/** Every dose record of a horse, latest first. */
export const dosesOfHorse = (work: Work, horseId: string): Promise<store.DoseRow[]> =>
  store.findDoses(work.tx, { horseIds: [horseId] });

/** Medicines given outside the formulary, latest first. */
export const otherMedicinesOf = (
  work: Work,
  horseIds: readonly string[],
): Promise<OtherMedicineRow[]> => findOtherMedicines(work.tx, { horseIds });

/** Names of what runs now, each once; held medicines say so. */
export const medicineNames = async (work: Work, horseId: string): Promise<string[]> => {
  const rows = await store.findCourses(work.tx, {
    horseIds: [horseId],
    statuses: ["signed", "held"],
  });
  const names = rows
    .filter((row) => !isOver(row, work.nowMs))
    .map((row) => drugName(row.drugKey) + (row.status === "held" ? " (held)" : ""));
  return [...new Set(names)].toSorted();
};

/** Courses of a horse for its case file, newest first. */
export const coursesOf = async (work: Work, horseId: string): Promise<CourseView[]> =>
  (await store.findCourses(work.tx, { horseIds: [horseId], limit: 200 })).map((row) =>
    courseView(row, work.nowMs),
  );

/** What every line about a horse's medicine carries. */
interface AboutHorse {
  readonly horseId: string;
  readonly horseName: string;
  readonly yardId: string;
  readonly caseId: string | null;
  /** Phase of the open case, if there is one. */
  readonly phase: string | null;
}

const about = (horse: store.HorseRow): AboutHorse => ({
  horseId: horse.id,
  horseName: horse.name,
  yardId: horse.yardId,
  caseId: horse.openCaseId,
  phase: horse.phase,
});

export interface HeldCourse extends AboutHorse {
  readonly courseId: string;
  readonly drugName: string;
  readonly why: Hold["why"];
  readonly reason: string;
  readonly raisedAtMs: InstantMs;
}

export interface ReviewDue extends AboutHorse {
  readonly courseId: string;
  readonly drugName: string;
  readonly reviewOn: string;
  readonly raisedAtMs: InstantMs;
  /** End of the day of the review. */
  readonly dueAtMs: InstantMs;
  /** First instant it is worth showing. */
  readonly opensAtMs: InstantMs;
}

export interface DoseDue extends AboutHorse {
  readonly courseId: string;
  readonly drugName: string;
  readonly measure: string;
  readonly scheduledAtMs: InstantMs;
  readonly state: "due" | "late" | "later" | "needs vet";
}

export interface StaleWeight extends AboutHorse {
  /** Undefined when there is no usable weight at all. */
  readonly weighedAtMs: InstantMs | undefined;
  readonly ageDays: number | undefined;
  /** When the weighing fell due. */
  readonly dueAtMs: InstantMs;
  readonly medicines: readonly string[];
}

/** How far ahead a review shows. */
const REVIEW_NOTICE_DAYS = 2;

/** The doses, holds, reviews and weighings that wait for somebody, over every horse in sight. */
export interface MedicationWork {
  readonly held: readonly HeldCourse[];
  readonly reviews: readonly ReviewDue[];
  readonly doses: readonly DoseDue[];
  readonly staleWeights: readonly StaleWeight[];
}

const heldOf = ({ horse, courses, context }: HorseMedication): readonly HeldCourse[] =>
  courses
    .filter((course) => course.status === "held")
    .flatMap((course) => {
      const hold = context.holds.findLast(
        (one) => one.courseId === course.id && one.releasedAtMs === undefined,
      );
      return hold === undefined
        ? []
        : [
            {
              ...about(horse),
              courseId: course.id,
              drugName: drugName(course.drugKey),
              why: hold.why,
              reason: hold.reason,
              raisedAtMs: hold.fromMs,
            },
          ];
    });

const running = ({ courses }: HorseMedication, nowMs: number): readonly store.CourseRow[] =>
  courses.filter((course) => course.status === "signed" && !isOver(course, nowMs));

const reviewsOf = (medication: HorseMedication, nowMs: number): readonly ReviewDue[] =>
  running(medication, nowMs).flatMap((course) => {
    const { reviewOn, timeZone } = course;
    // A course that ends before its review needs none.
    if (reviewOn === null || (course.endOn !== null && course.endOn < reviewOn)) return [];
    const opensAtMs = startOfDay(addDays(reviewOn, -REVIEW_NOTICE_DAYS), timeZone);
    return nowMs < opensAtMs
      ? []
      : [
          {
            ...about(medication.horse),
            courseId: course.id,
            drugName: drugName(course.drugKey),
            reviewOn,
            raisedAtMs: opensAtMs,
            opensAtMs,
            dueAtMs: startOfDay(addDays(reviewOn, 1), timeZone),
          },
        ];
  });

const dosesOf = (medication: HorseMedication, nowMs: number): readonly DoseDue[] =>
  careItems(medication, localDateOf(nowMs, medication.horse.timeZone)).flatMap((item) =>
    item.state === "due" ||
    item.state === "late" ||
    item.state === "later" ||
    item.state === "needs vet"
      ? [
          {
            ...about(medication.horse),
            courseId: item.courseId,
            drugName: item.drugName,
            measure: item.measure,
            scheduledAtMs: Date.parse(item.scheduledAt),
            state: item.state,
          },
        ]
      : [],
  );

const staleWeightsOf = (medication: HorseMedication, nowMs: number): readonly StaleWeight[] => {
  const courses = running(medication, nowMs);
  const first = courses[0];
  if (first === undefined) return [];
  const last = medication.context.weights.findLast(
    (reading) => reading.method !== "estimate" && reading.takenAtMs <= nowMs,
  );
  const dueAtMs =
    last === undefined
      ? (first.signedAt?.getTime() ?? nowMs)
      : last.takenAtMs + REWEIGH_ON_COURSE_DAYS * MS_PER_DAY;
  return nowMs < dueAtMs
    ? []
    : [
        {
          ...about(medication.horse),
          weighedAtMs: last?.takenAtMs,
          ageDays:
            last === undefined ? undefined : Math.floor((nowMs - last.takenAtMs) / MS_PER_DAY),
          dueAtMs,
          medicines: courses.map((course) => drugName(course.drugKey)),
        },
      ];
};

/** Days of history that say where a dose of today stands. */
const LOOK_BACK_DAYS = 60;

/** Horses in sight with a course that runs or is held. */
const horsesOnMedicine = async (work: Work): Promise<HorseMedication[]> => {
  const ids = await work.tx.$queryRaw<{ id: string }[]>(
    Prisma.sql`SELECT DISTINCT horse_id AS id FROM medication_courses WHERE status IN ('signed', 'held')`,
  );
  if (ids.length === 0) return [];
  const horses = await store.findHorses(work.tx, { ids: ids.map((row) => row.id) });
  return loadMedication(work, horses, { lookBackDays: LOOK_BACK_DAYS });
};

/** Everything about medicines that waits for somebody, with one reading of the tables. */
export const medicationWork = async (work: Work): Promise<MedicationWork> => {
  const all = await horsesOnMedicine(work);
  return {
    held: all.flatMap(heldOf),
    reviews: all.flatMap((one) => reviewsOf(one, work.nowMs)),
    doses: all.flatMap((one) => dosesOf(one, work.nowMs)),
    staleWeights: all.flatMap((one) => staleWeightsOf(one, work.nowMs)),
  };
};
