import {
  draftCourse,
  listCourses,
  recordDose,
  recordSingleDose,
  releaseCourse,
  reviewCourse,
  signCourse,
  stopCourse,
} from "@heelward/contracts";
import { isAllowed } from "@heelward/domain/evidence";
import { addDays, MS_PER_DAY } from "@heelward/domain/time";
import * as courses from "../features/medication/courses.ts";
import * as running from "../features/medication/running-courses.ts";
import * as doses from "../features/medication/doses.ts";
import { Problem } from "../http/problem.ts";
import { STORY_DAY, type Calendar } from "./calendar.ts";
import { COURSES, dosesOf, stepsOf, VEIN_DOSES, type DemoCourse } from "./courses.ts";
import { overridesFor } from "./plans.ts";
import { iso, known, type Telling } from "./story.ts";
import { carerOf } from "./who.ts";

/** Doses given at another minute than the planned one. */
const GIVEN_AT: Readonly<Record<string, readonly [time: string, received?: string]>> = {
  "H02 pergolide 1.5 2026-10-13 08:00": ["08:05"],
  "H02 pergolide 1.5 2026-10-14 08:00": ["07:02", "07:09"],
};

/** Only this horse has had the tablet by ten past seven on the last day. */
const isBeforeBreakfast = (course: DemoCourse, on: string): boolean =>
  on === STORY_DAY && course.horse !== "H02";

export const tellOfCourses = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  for (const course of COURSES) {
    const signedMs = calendar.at(...course.signed);
    const start = course.stretches[0] ?? course.signed[0];
    tell(signedMs, `signature of ${course.name}`, async () => {
      const drafted = await perform(
        signedMs - 60_000,
        course.by,
        draftCourse,
        {
          params: { horseId: known(register.horses, course.horse) },
          body: {
            drugKey: course.drugKey,
            presentationKey: course.presentationKey,
            route: "oral",
            steps: stepsOf(course),
            startOn: calendar.on(start),
            reason: course.reason,
            continuesFromDay: course.continuesFromDay ?? null,
            replacesCourseId:
              course.replaces === undefined ? null : known(register.courses, course.replaces),
          },
        },
        (work, { params, body }) => courses.draft(work, params.horseId, body),
      );
      register.courses.set(course.name, drafted.id);
      await perform(
        signedMs,
        course.by,
        signCourse,
        {
          params: { courseId: drafted.id },
          body: {
            overrides: overridesFor(drafted.findings).map((one) => ({
              ...one,
              reason: course.reason,
            })),
          },
        },
        (work, { params, body }) => courses.sign(work, params.courseId, drafted.version, body),
      );
    });
    tellOfReviews(telling, course);
    tellOfDoses(telling, course);
  }
};

const tellOfReviews = (
  { calendar, perform, register, tell }: Telling,
  course: DemoCourse,
): void => {
  for (const [on, time, nextOn] of course.reviews ?? []) {
    const atMs = calendar.at(on, time);
    tell(
      atMs,
      `review of ${course.name}`,
      async () => {
        const courseId = known(register.courses, course.name);
        await perform(
          atMs,
          course.by,
          reviewCourse,
          {
            params: { courseId },
            body: {
              reviewOn: calendar.on(nextOn ?? addDays(on, reviewDays(course))),
              reason: "Comfort, appetite and dung looked at; carried on.",
            },
          },
          async (work, { params, body }) => {
            const before = await courses.read(work, params.courseId);
            return running.review(work, params.courseId, before.version, body);
          },
        );
      },
      course.horse,
    );
  }
};

/** How far ahead the next look lies: two weeks, one for the old mare. */
const reviewDays = ({ horse }: DemoCourse): number => (horse === "H02" ? 7 : 14);

const tellOfDoses = ({ calendar, perform, register, tell }: Telling, course: DemoCourse): void => {
  for (const [on, time] of dosesOf(course)) {
    if (isBeforeBreakfast(course, on)) continue;
    const special = GIVEN_AT[`${course.name} ${on} ${time}`];
    const givenMs =
      special === undefined ? calendar.planned(on, time) : calendar.at(on, special[0]);
    if (special !== undefined && calendar.planned(on, special[0]) > calendar.nowMs) continue;
    const heardMs = special?.[1] === undefined ? givenMs : calendar.at(on, special[1]);
    tell(
      heardMs,
      `dose of ${course.name}`,
      async () => {
        await perform(
          heardMs,
          carerOf(course.horse),
          recordDose,
          {
            params: { courseId: known(register.courses, course.name) },
            body: {
              scheduledAt: iso(calendar.planned(on, time)),
              givenAt: iso(givenMs),
              outcome: "given",
            },
            ...(heardMs === givenMs ? {} : { clientTime: givenMs }),
          },
          (work, { params, body }) => doses.give(work, params.courseId, body),
        );
      },
      course.horse,
    );
  }
};

/** What the vet writes when the service asks for a reason before a dose goes in. */
const VEIN_REASON =
  "Label dose at the middle of the weight, given by the vet in person, who has weighed it up.";

/** Times of the doses into the vein: each at least a day after the one before. */
const VEIN_TIMES: Readonly<Record<string, string>> = {
  "H01 2026-07-06": "20:05",
  "H13 2026-02-13": "09:00",
  "H13 2026-02-14": "09:05",
  "H13 2026-02-15": "09:10",
  "H14 2026-04-28": "08:40",
  "H14 2026-04-29": "08:45",
  "H14 2026-04-30": "08:50",
  "H14 2026-05-01": "08:55",
  "H14 2026-05-02": "09:00",
};

/**
 * Where the clocks go forward in the night between the last flunixin and the first bute of this
 * horse, the same clock times lie under 24 h apart: then the vet came an hour earlier.
 */
const EARLIER: Readonly<Record<string, string>> = {
  "H13 2026-02-13": "08:00",
  "H13 2026-02-14": "08:05",
  "H13 2026-02-15": "08:10",
};

const veinTimes = ({ planned }: Calendar): Readonly<Record<string, string>> =>
  planned("2026-02-16", "10:00") - planned("2026-02-15", "09:10") < MS_PER_DAY
    ? { ...VEIN_TIMES, ...EARLIER }
    : VEIN_TIMES;

export const tellOfVeinDoses = ({ calendar, perform, register, tell }: Telling): void => {
  const times = veinTimes(calendar);
  for (const row of VEIN_DOSES)
    for (let on = row.from; on <= row.to; on = addDays(on, row.every_days)) {
      const atMs = calendar.at(on, times[`${row.horse} ${on}`] ?? "09:00");
      const doseMg = row.doses_mg[0] ?? 0;
      tell(atMs, `${row.drug} into the vein of ${row.horse}`, async () => {
        const give = (overrides: ReturnType<typeof overridesFor>) =>
          perform(
            atMs,
            row.signed_by,
            recordSingleDose,
            {
              params: { horseId: known(register.horses, row.horse) },
              body: {
                drugKey: row.drug,
                route: "intravenous",
                doseMg,
                givenAt: iso(atMs),
                reason: row.note,
                overrides,
              },
            },
            (work, { params, body }) => doses.giveSingle(work, params.horseId, body),
          );
        try {
          await give([]);
        } catch (error) {
          const findings = error instanceof Problem ? (error.extras.findings ?? []) : [];
          if (findings.length === 0 || !isAllowed(findings)) throw error;
          await give(overridesFor(findings).map((one) => ({ ...one, reason: VEIN_REASON })));
        }
      });
    }
};

/** A vet lifts what a check or a result put on hold, once the horse was looked at. */
export const liftHolds = async (
  { perform, register }: Telling,
  atMs: number,
  who: string,
  horse: string,
  reason: string,
): Promise<void> => {
  const horseId = known(register.horses, horse);
  const { items } = await perform(
    atMs,
    who,
    listCourses,
    { params: { horseId } },
    (work, { params }) => courses.list(work, params.horseId, { limit: 50 }),
  );
  for (const course of items.filter((one) => one.status === "held"))
    // One after the other: each release is a signature of its own.
    // oxlint-disable-next-line no-await-in-loop
    await perform(
      atMs,
      who,
      releaseCourse,
      { params: { courseId: course.id }, body: { reason } },
      (work, { params, body }) =>
        running.release(work, params.courseId, course.version, body.reason),
    );
};

/** A vet ends a course before its last day. */
export const endCourse = async (
  { perform, register }: Telling,
  atMs: number,
  who: string,
  name: string,
  reason: string,
): Promise<void> => {
  await perform(
    atMs,
    who,
    stopCourse,
    { params: { courseId: known(register.courses, name) }, body: { reason } },
    async (work, { params, body }) => {
      const before = await courses.read(work, params.courseId);
      return running.stop(work, params.courseId, before.version, body.reason);
    },
  );
};
