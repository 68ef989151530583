import type { CourseView, DoseRecord } from "@heelward/contracts";
import {
  buildCourse,
  drugOf,
  measureText,
  mgText,
  presentationOf,
  type CoursePlan,
  type CourseRequest,
} from "@heelward/domain/medication";
import { localDateOf } from "@heelward/domain/time";
import type { CourseContent } from "./course-content.ts";
import { toCourse, type HorseMedication } from "./context.ts";
import type { CourseRow, DoseRow } from "./store.ts";

/** The drug as people say it; its key when the formulary no longer has it. */
export const drugName = (drugKey: string): string => drugOf(drugKey)?.name ?? drugKey;

/** What the yard measures, such as `2 sachets`; milligrams where the presentation is not known. */
export const measureOf = (
  drugKey: string,
  presentationKey: string | null,
  doseMg: number,
): string => {
  const drug = drugOf(drugKey);
  const presentation =
    drug === undefined || presentationKey === null
      ? undefined
      : presentationOf(drug, presentationKey);
  return presentation === undefined
    ? mgText(doseMg)
    : measureText(doseMg / presentation.mgPerUnit, presentation);
};

/** What a course asks of the rules. */
export const requestOf = (content: CourseContent, id?: string): CourseRequest => ({
  id,
  drugKey: content.drugKey,
  presentationKey: content.presentationKey,
  route: content.route,
  steps: content.steps,
  startOn: content.startOn,
  continuesFromDay: content.continuesFromDay ?? undefined,
  restartsSeries: content.restartsSeries,
  supersedesCourseId: content.replacesCourseId ?? undefined,
  vetSetsSchedule: content.vetSetsSchedule,
  hydrationAndCreatinineRecorded: content.hydrationRecorded,
  recheckOn: content.recheckOn ?? undefined,
});

/** A plan as JSON holds it. */
export const planJson = (plan: CoursePlan | undefined): CourseView["plan"] =>
  plan === undefined ? null : (JSON.parse(JSON.stringify(plan)) as CourseView["plan"]);

/** The plan of a stored course at the weight it was worked out on. */
const planOf = (row: CourseRow, { context }: HorseMedication): CourseView["plan"] => {
  const plan = buildCourse(
    { ...requestOf(row, row.id), shifts: toCourse(row).shifts },
    {
      ...context,
      zone: row.timeZone,
      courses: [],
      doses: [],
      weights: [
        {
          weightKg: row.weightKg,
          lowKg: row.weightLowKg,
          highKg: row.weightHighKg,
          method: row.weightMethod,
          takenAtMs: context.atMs,
        },
      ],
    },
  );
  return planJson(
    plan === undefined ? undefined : { ...plan, reviewOn: row.reviewOn ?? plan.reviewOn },
  );
};

/** True once the last day of a course that ran its time is over. */
export const isOver = (
  row: Pick<CourseRow, "status" | "endOn" | "timeZone">,
  nowMs: number,
): boolean =>
  row.status === "finished" ||
  (row.status === "signed" && row.endOn !== null && row.endOn < localDateOf(nowMs, row.timeZone));

/** A course as people see it. With `medication` it carries its plan; lists leave it out. */
export const courseView = (
  row: CourseRow,
  nowMs: number,
  medication?: HorseMedication,
): CourseView => ({
  ...row,
  drugName: drugName(row.drugKey),
  status: isOver(row, nowMs) ? "finished" : row.status,
  steps: row.steps.map((step) => ({ ...step, timesLocal: [...step.timesLocal] })),
  findings: [...row.findings],
  overrides: [...row.overrides],
  shifts: row.shifts.map(({ at, by, fromAt, byMinutes, reason }) => ({
    at,
    by,
    fromAt,
    byMinutes,
    reason,
  })),
  plan: medication === undefined ? null : planOf(row, medication),
  signedAt: row.signedAt?.toISOString() ?? null,
  stoppedAt: row.stoppedAt?.toISOString() ?? null,
  hold:
    row.status !== "held" || row.hold === null
      ? null
      : {
          ...row.hold,
          raisedAt: new Date(row.hold.raisedAt).toISOString(),
          findings: [...row.hold.findings],
        },
});

export const doseView = (row: DoseRow): DoseRecord => ({
  ...row,
  drugName: drugName(row.drugKey),
  scheduledAt: row.scheduledAt?.toISOString() ?? null,
  givenAt: row.givenAt.toISOString(),
  receivedAt: row.receivedAt.toISOString(),
  findings: [...row.findings],
});
