import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isAllowed } from "../evidence/index.ts";
import { atLocalTime, MS_PER_HOUR, MS_PER_MINUTE } from "../time/index.ts";
import {
  judgeCourse,
  judgeDose,
  offeredShiftMinutes,
  remainingSteps,
  scheduledDoses,
  shiftCourse,
  type Course,
  type DoseEvent,
  type MedicationContext,
} from "./index.ts";

const ZONE = "Europe/Dublin";
const at = (day: string, time: string) => atLocalTime(day, time, ZONE);

/** 1 g twice a day at 455 kg is 4.396 mg/kg a day: exactly full under 4.4 (UK label, days 2-5). */
const COURSE: Course = {
  id: "bute",
  drugKey: "phenylbutazone",
  presentationKey: "phenylbutazone-powder-1g",
  route: "oral",
  steps: [
    { fromDay: 1, toDay: 1, doseMg: 2000, timesLocal: ["08:00", "20:00"], everyDays: 1 },
    { fromDay: 2, toDay: 5, doseMg: 1000, timesLocal: ["08:00", "20:00"], everyDays: 1 },
  ],
  startOn: "2026-10-12",
  zone: ZONE,
  status: "signed",
  weightKgUsed: 455,
  signedAtMs: at("2026-10-12", "07:30"),
};
const dose = (day: string, planned: string, given: string, doseMg: number): DoseEvent => ({
  id: `${day} ${planned}`,
  courseId: COURSE.id,
  drugKey: COURSE.drugKey,
  route: "oral",
  doseMg,
  givenAtMs: at(day, given),
  scheduledAtMs: at(day, planned),
  outcome: "given",
  givenBy: "Cass",
});
const context = (
  atMs: number,
  doses: readonly DoseEvent[],
  course: Course = COURSE,
): MedicationContext => ({
  animal: { type: "horse", bornOn: "2016-05-01", conditions: [], foodChain: "excluded" },
  weights: [
    {
      weightKg: 455,
      lowKg: 455,
      highKg: 455,
      method: "scale",
      takenAtMs: at("2026-10-11", "08:00"),
    },
  ],
  courses: [course],
  doses,
  holds: [],
  atMs,
  zone: ZONE,
  jurisdiction: "UK",
});
/** Day 1 as planned, the evening of day 2 twenty minutes late. */
const LATE = [
  dose("2026-10-12", "08:00", "08:00", 2000),
  dose("2026-10-12", "20:00", "20:00", 2000),
  dose("2026-10-13", "08:00", "08:00", 1000),
  dose("2026-10-13", "20:00", "20:20", 1000),
];
const judgeRest = (course: Course, { atMs, ...rest }: MedicationContext) =>
  judgeCourse(
    {
      drugKey: course.drugKey,
      presentationKey: course.presentationKey,
      route: course.route,
      startOn: course.startOn,
      steps: remainingSteps(course, rest.doses, atMs),
      supersedesCourseId: course.id,
    },
    { ...rest, atMs },
  );

describe("giving the doses to come later", () => {
  it("moves the next dose and all after it, and nothing that was given", () => {
    const now = context(at("2026-10-13", "21:00"), LATE);
    const moved = shiftCourse(COURSE, 20, now);
    if (!moved.ok) throw new Error(JSON.stringify(moved.findings));
    expect(scheduledDoses(moved.value.course).map((one) => `${one.on} ${one.timeLocal}`)).toEqual([
      "2026-10-12 08:00",
      "2026-10-12 20:00",
      "2026-10-13 08:00",
      "2026-10-13 20:00",
      "2026-10-14 08:20",
      "2026-10-14 20:20",
      "2026-10-15 08:20",
      "2026-10-15 20:20",
      "2026-10-16 08:20",
      "2026-10-16 20:20",
    ]);
  });

  it("offers as much as the last dose was late, in steps of five minutes (house rule)", () => {
    const lateBy = (minutes: number) =>
      offeredShiftMinutes(
        COURSE,
        context(at("2026-10-13", "23:00"), [
          dose("2026-10-13", "20:00", "20:00", 1000),
          {
            ...dose("2026-10-14", "08:00", "08:00", 1000),
            givenAtMs: at("2026-10-14", "08:00") + minutes * MS_PER_MINUTE,
          },
        ]),
      );
    expect([-10, 0, 1, 5, 6, 20].map(lateBy)).toEqual([0, 0, 5, 5, 10, 20]);
  });

  // Source of the limit: UK label, 4.4 mg/kg in any 24 h on days 2-5, +1.5 % for unit sizes.
  it("makes room where a late dose left none: three doses in 24 h are refused, the shifted plan passes", () => {
    const doses = [...LATE, dose("2026-10-14", "08:00", "08:20", 1000)];
    const now = context(at("2026-10-14", "09:00"), doses);
    const before = judgeRest(COURSE, now);
    expect(before.ok).toBe(false);
    expect(before.findings.filter((one) => one.outcome === "block").length).toBeGreaterThan(0);
    const moved = shiftCourse(COURSE, 20, now);
    if (!moved.ok) throw new Error(JSON.stringify(moved.findings));
    expect(judgeRest(moved.value.course, now).ok).toBe(true);
  });

  it("leaves the ledger's rules as they are: at the new time the dose is let through, at the old time not", () => {
    const doses = [...LATE, dose("2026-10-14", "08:00", "08:20", 1000)];
    const moved = shiftCourse(COURSE, 20, context(at("2026-10-14", "09:00"), doses));
    if (!moved.ok) throw new Error(JSON.stringify(moved.findings));
    const shifted = moved.value.course;
    const give = (time: string) =>
      judgeDose(
        {
          ...dose("2026-10-14", "20:20", time, 1000),
          id: "next",
        },
        context(at("2026-10-14", time), doses, shifted),
      );
    expect(isAllowed(give("20:20").findings)).toBe(true);
    expect(isAllowed(give("20:10").findings)).toBe(false);
  });

  it("is at most half the time to the next dose, at least a minute, and never past midnight (house rule)", () => {
    const now = context(at("2026-10-13", "21:00"), LATE);
    const rules = (minutes: number, course = COURSE) =>
      shiftCourse(course, minutes, { ...now, courses: [course] }).findings.map((one) => one.rule);
    expect(rules(0)).toEqual(["medication/shift-size@1"]);
    expect(rules(239)).toEqual(["medication/shift@1"]);
    // 20:00 and 240 minutes is midnight.
    expect(rules(240)).toEqual(["medication/shift-midnight@1"]);
    expect(rules(361)).toEqual(["medication/shift-size@1"]);
    const mornings = {
      ...COURSE,
      steps: COURSE.steps.map((step) => ({ ...step, timesLocal: ["06:00", "17:00"] })),
    };
    // The 17:00 dose is still open at 21:00; from it to 06:00 are 13 hours.
    expect(rules(390, mornings)).toEqual(["medication/shift@1"]);
    expect(rules(391, mornings)).toEqual(["medication/shift-size@1"]);
  });

  it("is not for a draft, a stopped course or one without doses to come", () => {
    const now = context(at("2026-10-13", "21:00"), LATE);
    for (const course of [
      { ...COURSE, status: "draft" as const, signedAtMs: undefined },
      { ...COURSE, status: "stopped" as const },
    ])
      expect(shiftCourse(course, 20, now).findings[0]?.rule).toBe("medication/shift-running@1");
    expect(
      shiftCourse(COURSE, 20, context(at("2026-10-20", "09:00"), LATE)).findings[0]?.rule,
    ).toBe("medication/shift-running@1");
  });

  it("stays on the yard's clock over a clock change: 08:20 before and after 25 October 2026", () => {
    const course = { ...COURSE, startOn: "2026-10-22", signedAtMs: at("2026-10-22", "07:00") };
    const moved = shiftCourse(course, 20, {
      ...context(at("2026-10-23", "07:00"), []),
      courses: [course],
    });
    if (!moved.ok) throw new Error(JSON.stringify(moved.findings));
    const [before, after] = scheduledDoses(moved.value.course).filter(
      (one) => one.timeLocal === "08:20" && (one.on === "2026-10-24" || one.on === "2026-10-25"),
    );
    // The night of 25 October has an hour more.
    expect((after?.atMs ?? 0) - (before?.atMs ?? 0)).toBe(25 * MS_PER_HOUR);
  });

  it("makes the same plan as a course signed with the later times, whatever the times and the minutes", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 11 }),
        fc.integer({ min: 1, max: 300 }),
        fc.integer({ min: 0, max: 364 }),
        (hour, minutes, day) => {
          const startOn = new Date(Date.UTC(2026, 0, 1 + day)).toISOString().slice(0, 10);
          const first = `${String(hour).padStart(2, "0")}:00`;
          const course: Course = {
            ...COURSE,
            startOn,
            steps: [{ fromDay: 1, toDay: 6, doseMg: 1000, timesLocal: [first], everyDays: 2 }],
            signedAtMs: at(startOn, "00:00") - MS_PER_HOUR,
          };
          const moved = shiftCourse(course, minutes, {
            ...context(at(startOn, "00:00") - MS_PER_MINUTE, []),
            courses: [course],
          });
          if (!moved.ok) throw new Error(JSON.stringify(moved.findings));
          const total = hour * 60 + minutes;
          const later = `${String(Math.floor(total / 60)).padStart(2, "0")}:${String(total % 60).padStart(2, "0")}`;
          const written = {
            ...course,
            steps: course.steps.map((step) => ({ ...step, timesLocal: [later] })),
          };
          expect(scheduledDoses(moved.value.course).map((one) => one.atMs)).toEqual(
            scheduledDoses(written).map((one) => one.atMs),
          );
        },
      ),
      { numRuns: 300 },
    );
  });
});
