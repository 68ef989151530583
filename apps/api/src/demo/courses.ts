import type { z } from "zod";
import type { draftCourse } from "@heelward/contracts";
import { addDays, daysBetween } from "@heelward/domain/time";
import { MEDICINES, type DemoMedicine } from "./data/medicines.ts";

type Step = z.input<NonNullable<typeof draftCourse.body>>["steps"][number];

/** A course as one signature: which stretches it holds and at what times of the day. */
export interface DemoCourse {
  readonly name: string;
  readonly horse: string;
  readonly drugKey: string;
  readonly presentationKey: string;
  /** First day of each stretch, as in the table of medicines. */
  readonly stretches: readonly string[];
  readonly times: readonly string[];
  /** Day and time of the signature. */
  readonly signed: readonly [on: string, time: string];
  readonly by: "V1" | "V2";
  /** Days and times at which the vet looked again and signed, and by when the next look was set. */
  readonly reviews?: readonly (readonly [on: string, time: string, nextOn?: string])[];
  readonly reason: string;
  /** Day 1 here is this day of the treatment. */
  readonly continuesFromDay?: number;
  readonly replaces?: string;
  /** Planned further than it ran. */
  readonly plannedTo?: string;
  /** Only doses from this day on are told; a year of one daily tablet shows nothing more. */
  readonly dosesFrom?: string;
}

const TWICE = ["08:00", "20:00"] as const;
const TABLET = "pergolide-tablet-1mg";
const SACHET = "phenylbutazone-powder-1g";
const PASTE = "phenylbutazone-paste-200mg-ml";
const LIQUID = "meloxicam-suspension-15mg-ml";
const POWDER = "paracetamol-powder";
/** Sixty days before the last day of the story. */
const RECENT = "2026-08-15";

const lifelong = (horse: string): DemoCourse => ({
  name: `${horse} pergolide`,
  horse,
  drugKey: "pergolide",
  presentationKey: TABLET,
  stretches: ["2025-10-15"],
  times: ["08:00"],
  signed: ["2025-10-15", "07:50"],
  by: "V2",
  reviews: [
    ["2025-11-25", "12:00", "2026-05-25"],
    ["2026-05-11", "12:00", "2026-11-09"],
  ],
  reason: "Pituitary disease; signs and ACTH on file.",
  plannedTo: "2026-11-17",
  dosesFrom: RECENT,
});

export const COURSES: readonly DemoCourse[] = [
  lifelong("H10"),
  lifelong("H11"),
  lifelong("H20"),
  lifelong("H23"),
  { ...lifelong("H02"), name: "H02 pergolide 1.0" },
  {
    ...lifelong("H02"),
    name: "H02 pergolide 1.5",
    stretches: ["2026-08-31"],
    signed: ["2026-08-31", "07:30"],
    reviews: [["2026-10-05", "15:00", "2027-02-01"]],
    reason: "Stepped up in the autumn rise: ACTH 88, cut-off 45.",
    replaces: "H02 pergolide 1.0",
    plannedTo: "2027-03-01",
  },
  {
    name: "H07 bute 2025",
    horse: "H07",
    drugKey: "phenylbutazone",
    presentationKey: SACHET,
    stretches: ["2025-10-16", "2025-10-17", "2025-10-21", "2025-11-10"],
    times: TWICE,
    signed: ["2025-10-16", "07:45"],
    by: "V1",
    reviews: [
      ["2025-10-20", "12:30"],
      ["2025-11-03", "12:30"],
    ],
    reason: "Obel 3; tape weight of this morning.",
  },
  {
    name: "H07 bute 2026",
    horse: "H07",
    drugKey: "phenylbutazone",
    presentationKey: SACHET,
    stretches: ["2026-06-20", "2026-06-21", "2026-06-25"],
    times: TWICE,
    signed: ["2026-06-20", "07:40"],
    by: "V1",
    reviews: [
      ["2026-06-24", "12:30", "2026-07-01"],
      ["2026-07-01", "12:30", "2026-07-08"],
    ],
    reason: "Relapse after the overdue reset; seen yesterday evening.",
  },
  {
    name: "H13 bute",
    horse: "H13",
    drugKey: "phenylbutazone",
    presentationKey: SACHET,
    stretches: ["2026-02-16", "2026-02-17", "2026-02-21"],
    times: ["10:00", "22:00"],
    signed: ["2026-02-16", "09:50"],
    by: "V1",
    reviews: [
      ["2026-02-20", "12:30"],
      ["2026-03-06", "12:30"],
    ],
    reason: "24 h 50 min after the last flunixin; kept to 4 g on the first day.",
    plannedTo: "2026-03-16",
  },
  {
    name: "H13 paracetamol",
    horse: "H13",
    drugKey: "paracetamol",
    presentationKey: POWDER,
    stretches: ["2026-02-21"],
    times: ["09:00", "21:00"],
    signed: ["2026-02-20", "18:50"],
    by: "V1",
    reviews: [["2026-03-06", "12:40"]],
    reason: "Off licence beside bute; consent of the owner is on file.",
    plannedTo: "2026-03-16",
  },
  {
    name: "H14 bute",
    horse: "H14",
    drugKey: "phenylbutazone",
    presentationKey: SACHET,
    stretches: ["2026-05-03", "2026-05-04", "2026-05-08"],
    times: ["10:00", "22:00"],
    signed: ["2026-05-03", "09:40"],
    by: "V1",
    reviews: [
      ["2026-05-07", "12:30"],
      ["2026-05-16", "12:30"],
      ["2026-05-29", "12:30"],
    ],
    reason: "Nursing mare in pain, 25 h after the last flunixin; the foal is watched.",
  },
  {
    name: "H14 paracetamol",
    horse: "H14",
    drugKey: "paracetamol",
    presentationKey: POWDER,
    stretches: ["2026-05-08"],
    times: ["09:00", "21:00"],
    signed: ["2026-05-08", "08:30"],
    by: "V1",
    reason: "Off licence beside bute; consent of the owner is on file.",
  },
  {
    name: "H19 bute",
    horse: "H19",
    drugKey: "phenylbutazone",
    presentationKey: SACHET,
    stretches: ["2026-04-02"],
    times: ["20:00"],
    signed: ["2026-04-02", "17:00"],
    by: "V2",
    reviews: [
      ["2026-04-06", "12:30", "2026-04-16"],
      ["2026-04-16", "12:30"],
      ["2026-04-30", "12:30"],
    ],
    reason: "Carried on from hospital at the step from day 6; no new loading.",
    continuesFromDay: 13,
  },
  {
    name: "H19 meloxicam",
    horse: "H19",
    drugKey: "meloxicam",
    presentationKey: LIQUID,
    stretches: ["2026-05-04"],
    times: ["08:00"],
    signed: ["2026-05-03", "18:00"],
    by: "V2",
    reason: "Albumin 31, 28, 27: off bute, 36 h between the two.",
  },
  {
    name: "H01 bute",
    horse: "H01",
    drugKey: "phenylbutazone",
    presentationKey: SACHET,
    stretches: ["2026-07-08"],
    times: ["20:30"],
    signed: ["2026-07-08", "17:45"],
    by: "V1",
    reviews: [
      ["2026-07-10", "12:30"],
      ["2026-07-15", "12:30"],
    ],
    reason: "Pony: every second day, no loading; 48 h after the dose into the vein.",
  },
  {
    name: "H01 paracetamol",
    horse: "H01",
    drugKey: "paracetamol",
    presentationKey: POWDER,
    stretches: ["2026-07-09"],
    times: ["10:00", "22:00"],
    signed: ["2026-07-09", "09:40"],
    by: "V1",
    reason: "Off licence in place of the bute that was asked for; consent of the owner is on file.",
  },
  {
    name: "H02 bute on the tape",
    horse: "H02",
    drugKey: "phenylbutazone",
    presentationKey: PASTE,
    stretches: ["2026-08-23", "2026-08-28"],
    times: TWICE,
    signed: ["2026-08-23", "07:40"],
    by: "V2",
    reviews: [
      ["2026-08-27", "12:30"],
      ["2026-09-03", "12:30"],
      ["2026-09-10", "12:30"],
    ],
    reason: "In pain; scale on the 30th.",
    plannedTo: "2026-09-21",
  },
  {
    name: "H02 bute on the scale",
    horse: "H02",
    drugKey: "phenylbutazone",
    presentationKey: PASTE,
    stretches: ["2026-09-14", "2026-09-23"],
    times: ["09:35"],
    signed: ["2026-09-14", "09:20"],
    by: "V2",
    reviews: [["2026-09-21", "12:30"]],
    reason: "Worked out again on the scale weight.",
    replaces: "H02 bute on the tape",
  },
  {
    name: "H17 meloxicam",
    horse: "H17",
    drugKey: "meloxicam",
    presentationKey: LIQUID,
    stretches: ["2026-09-25"],
    times: ["18:00"],
    signed: ["2026-09-25", "16:45"],
    by: "V2",
    reason: "Chosen because the passport has not been seen.",
  },
];

/** The stretches of a course, in order. */
const stretchesOf = (course: DemoCourse): readonly DemoMedicine[] =>
  course.stretches.map((from) => {
    const row = MEDICINES.find(
      (one) =>
        one.horse === course.horse &&
        one.drug === course.drugKey &&
        one.from === from &&
        !one.route.startsWith("into the vein"),
    );
    if (row === undefined) throw new Error(`no ${course.name} from ${from}`);
    return row;
  });

/** Doses that a vet gave into the vein, outside any course. */
export const VEIN_DOSES: readonly DemoMedicine[] = MEDICINES.filter((row) =>
  row.route.startsWith("into the vein"),
);

const startOf = (course: DemoCourse): string => course.stretches[0] ?? course.signed[0];

/** The stretches as steps of a course: two different doses of a day are two steps. */
export const stepsOf = (course: DemoCourse): Step[] => {
  const rows = stretchesOf(course);
  return rows.flatMap((row, index): Step[] => {
    const isLast = index === rows.length - 1;
    const to = isLast ? (course.plannedTo ?? row.to) : row.to;
    const days = {
      fromDay: daysBetween(startOf(course), row.from) + 1,
      toDay: daysBetween(startOf(course), to) + 1,
      everyDays: row.every_days,
    };
    const isSame = row.doses_mg.every((dose) => dose === row.doses_mg[0]);
    const times = course.times.slice(0, row.doses_mg.length);
    return isSame
      ? [{ ...days, doseMg: row.doses_mg[0] ?? 0, timesLocal: [...times] }]
      : row.doses_mg.map((doseMg, at) => ({
          ...days,
          doseMg,
          timesLocal: [times[at] ?? "08:00"],
        }));
  });
};

/** Days and times at which doses of a course were really given. */
export const dosesOf = (course: DemoCourse): readonly (readonly [on: string, time: string])[] =>
  stretchesOf(course).flatMap((row) => {
    const given: (readonly [string, string])[] = [];
    for (let on = row.from; on <= row.to; on = addDays(on, row.every_days))
      if (on >= (course.dosesFrom ?? row.from))
        for (const time of course.times.slice(0, row.doses_mg.length)) given.push([on, time]);
    return given;
  });
