import type { CareDay } from "@heelward/contracts";
import { doseDayView, drugOf, type DoseDayStatus } from "@heelward/domain/medication";
import { dayText, type LocalDate } from "@heelward/domain/time";
import type { HorseMedication } from "./context.ts";
import type { CourseRow } from "./store.ts";
import { drugName, measureOf } from "./views.ts";

export type CareItem = CareDay["doses"][number];

/** Medicines against pain stop when the vet's review is overdue; others go on and the vet is reminded. */
export const stopsWithoutReview = (drugKey: string): boolean => {
  const classes = drugOf(drugKey)?.classes ?? [];
  return classes.includes("NSAID") || classes.includes("analgesic");
};

const STATES: Readonly<Record<Exclude<DoseDayStatus, "not signed">, CareItem["state"]>> = {
  given: "given",
  refused: "refused",
  "spat out": "spat out",
  "not given": "not given",
  held: "held",
  "needs vet": "needs vet",
  upcoming: "later",
  due: "due",
  late: "late",
  missed: "missed",
};

const OPEN_STATES: readonly CareItem["state"][] = ["due", "late", "later"];

/** What only this course knows: stopped meanwhile, a review the vet set sooner, the vein. */
const narrowed = (
  course: CourseRow,
  state: CareItem["state"],
  why: string,
  on: LocalDate,
): { readonly state: CareItem["state"]; readonly detail: string } => {
  if (course.status === "stopped" && (OPEN_STATES.includes(state) || state === "needs vet"))
    return { state: "missed", detail: "Nothing was written down before the course was stopped." };
  if (!OPEN_STATES.includes(state)) return { state, detail: why };
  if (course.reviewOn !== null && on > course.reviewOn && stopsWithoutReview(course.drugKey))
    return {
      state: "needs vet",
      detail: `The vet's review was due by ${dayText(course.reviewOn)}: do not give before it.`,
    };
  if (course.route === "intravenous")
    return { state: "needs vet", detail: "Into the vein: by a vet only." };
  return { state, detail: why };
};

/** Every planned dose of one horse on a local day, in order of time. */
export const careItems = (
  { horse, courses, context, doses }: HorseMedication,
  on: LocalDate,
): CareItem[] => {
  const byId = new Map(courses.map((course) => [course.id, course]));
  // Stopped courses are shown for the days they ran, so the rules see them as signed here.
  const shown = context.courses.map((course) =>
    course.status === "stopped" ? { ...course, status: "signed" as const } : course,
  );
  const lines = Object.values(doseDayView({ ...context, courses: shown }, on)).flat();
  return lines
    .flatMap((line): CareItem[] => {
      const course = byId.get(line.courseId);
      if (course === undefined || line.status === "not signed") return [];
      const record =
        doses.find(
          (dose) =>
            dose.courseId === course.id &&
            dose.scheduledAt?.getTime() === line.atMs &&
            dose.outcome === line.status,
        ) ?? null;
      // A time before the signature that can no longer be made up was never owed.
      const wasNotYet =
        line.status === "missed" &&
        course.signedAt !== null &&
        line.atMs < course.signedAt.getTime();
      const isNoMore = course.stoppedAt !== null && line.atMs >= course.stoppedAt.getTime();
      if (record === null && (wasNotYet || isNoMore)) return [];
      const { state, detail } = narrowed(course, STATES[line.status], line.why, on);
      return [
        {
          courseId: course.id,
          horse: { id: horse.id, name: horse.name },
          drugName: drugName(course.drugKey),
          measure: measureOf(course.drugKey, course.presentationKey, line.doseMg),
          doseMg: line.doseMg,
          route: course.route,
          scheduledAt: new Date(line.atMs).toISOString(),
          state,
          detail,
          recordId: record?.id ?? null,
        },
      ];
    })
    .toSorted((a, b) => Date.parse(a.scheduledAt) - Date.parse(b.scheduledAt));
};
