import { z } from "zod";
import { operation } from "./operation.ts";
import {
  clockTime,
  id,
  instant,
  latitude,
  line,
  localDate,
  longitude,
  nothing,
  personRef,
  prose,
  version,
} from "./primitives.ts";

const staff = ["vet", "farrier", "manager"] as const;
const deskWork = ["vet", "manager"] as const;
const personId = z.strictObject({ personId: id });
const weekday = z.int().min(1).max(7).describe("1 Monday to 7 Sunday");
const inOrder = <T extends { readonly fromOn: string; readonly toOn: string }>(input: T): boolean =>
  input.fromOn <= input.toOn;
const IN_ORDER = { message: "ends before it begins", path: ["toOn"] };

/** When somebody works, what they can do and where they set out. */
export const workingWeek = z
  .object({
    person: personRef,
    hours: z.array(z.object({ weekday, starts: clockTime, ends: clockTime })),
    lunch: z
      .object({ from: clockTime, until: clockTime, minutes: z.int() })
      .nullable()
      .describe("a break that starts between the two times"),
    skills: z.array(z.string()),
    yardIds: z.array(id).describe("yards this person covers"),
    home: z.object({ lat: z.number(), lon: z.number() }).nullable(),
    isStandard: z.boolean().describe("true while nobody has entered a week: the house's own holds"),
    version,
  })
  .meta({ id: "WorkingWeek" });
export type WorkingWeek = z.infer<typeof workingWeek>;
export const readWorkingWeek = operation({
  id: "readWorkingWeek",
  method: "GET",
  path: "/people/:personId/working-week",
  tag: "planning",
  access: staff,
  status: 200,
  summary: "A person's working hours, skills and starting place",
  params: personId,
  response: workingWeek,
});
export const setWorkingWeek = operation({
  id: "setWorkingWeek",
  method: "PUT",
  path: "/people/:personId/working-week",
  tag: "planning",
  access: ["manager", "farrier"],
  status: 200,
  ifMatch: true,
  summary: "Set a farrier's working week; a farrier sets the own",
  params: personId,
  body: z.strictObject({
    hours: z
      .array(z.strictObject({ weekday, starts: clockTime, ends: clockTime }))
      .max(7)
      .refine((hours) => new Set(hours.map((one) => one.weekday)).size === hours.length, {
        message: "names a weekday twice",
      })
      .refine((hours) => hours.every((one) => one.starts < one.ends), {
        message: "a day ends after it starts",
      }),
    lunch: z
      .strictObject({ from: clockTime, until: clockTime, minutes: z.int().min(10).max(120) })
      .refine((lunch) => lunch.from <= lunch.until, { message: "ends before it begins" })
      .optional(),
    skills: z.array(line(60)).max(20).default([]),
    yardIds: z.array(id).max(200).default([]),
    home: z.strictObject({ lat: latitude, lon: longitude }).optional(),
  }),
  response: workingWeek,
});

export const absence = z
  .object({
    id,
    person: personRef,
    fromOn: localDate,
    toOn: localDate,
    reason: z.string(),
    notedBy: personRef,
    version,
  })
  .meta({ id: "Absence" });
export const listAbsences = operation({
  id: "listAbsences",
  method: "GET",
  path: "/absences",
  tag: "planning",
  access: staff,
  status: 200,
  summary: "Days off and sick days from a day on",
  query: z.strictObject({ fromOn: localDate.optional(), personId: id.optional() }),
  response: z.object({ items: z.array(absence) }),
});
export const addAbsence = operation({
  id: "addAbsence",
  method: "POST",
  path: "/absences",
  tag: "planning",
  access: ["manager", "farrier"],
  status: 201,
  summary: "Note that somebody is away; a farrier notes the own days",
  body: z
    .strictObject({ personId: id, fromOn: localDate, toOn: localDate, reason: line(200) })
    .refine(inOrder, IN_ORDER),
  response: absence,
});
export const withdrawAbsence = operation({
  id: "withdrawAbsence",
  method: "DELETE",
  path: "/absences/:absenceId",
  tag: "planning",
  access: ["manager", "farrier"],
  status: 204,
  ifMatch: true,
  summary: "The person is there after all",
  params: z.strictObject({ absenceId: id }),
  response: nothing,
});

export const closure = z
  .object({ closedOn: localDate, reason: z.string() })
  .meta({ id: "PracticeClosure" });
export const listClosures = operation({
  id: "listClosures",
  method: "GET",
  path: "/closures",
  tag: "planning",
  access: staff,
  status: 200,
  summary: "Days on which the practice books nothing, such as holidays",
  response: z.object({ items: z.array(closure) }),
});
export const addClosure = operation({
  id: "addClosure",
  method: "POST",
  path: "/closures",
  tag: "planning",
  access: ["manager"],
  status: 201,
  summary: "Close the practice for booked work on a day",
  body: z.strictObject({ closedOn: localDate, reason: line(200) }),
  response: closure,
});
export const removeClosure = operation({
  id: "removeClosure",
  method: "DELETE",
  path: "/closures/:date",
  tag: "planning",
  access: ["manager"],
  status: 204,
  summary: "Open a closed day again",
  params: z.strictObject({ date: localDate }),
  response: nothing,
});

const awayDays = z
  .strictObject({ farrierId: id, fromOn: localDate, toOn: localDate })
  .refine(inOrder, IN_ORDER);
export const coverMove = z
  .object({
    resetId: id,
    horse: z.object({ id, name: z.string() }),
    yard: z.object({ id, name: z.string() }),
    on: localDate.describe("day it is booked, or due when unbooked"),
    isBooked: z.boolean(),
    state: z.string(),
    prescriptionId: id.nullable().describe("the plan that goes with it"),
    to: personRef.nullable().describe("null: nobody covers this yard"),
    lacks: z.array(z.string()).describe("skills the cover lacks: send a second pair of hands"),
    resetVersion: version,
  })
  .meta({ id: "CoverMove" });
export const previewCover = operation({
  id: "previewCover",
  method: "POST",
  path: "/covers/preview",
  tag: "planning",
  access: deskWork,
  status: 200,
  computes: true,
  summary: "Who would take an absent farrier's resets, and what each lacks",
  body: awayDays,
  response: z.object({ moves: z.array(coverMove) }),
});
export const applyCover = operation({
  id: "applyCover",
  method: "POST",
  path: "/covers",
  tag: "planning",
  access: ["manager"],
  status: 201,
  summary: "Note the days away and move the resets, each only if unchanged since it was seen",
  body: z
    .strictObject({
      farrierId: id,
      fromOn: localDate,
      toOn: localDate,
      reason: line(200),
      moves: z
        .array(z.strictObject({ resetId: id, toFarrierId: id, resetVersion: version }))
        .max(200),
    })
    .refine(inOrder, IN_ORDER),
  response: z.object({
    absence,
    results: z.array(
      z.object({
        resetId: id,
        outcome: z.enum(["moved", "conflict", "refused"]),
        detail: z.string(),
      }),
    ),
  }),
});

export const planScore = z.object({
  latePoints: z.number().describe("sum of welfare weight × days late"),
  unplaced: z.int(),
  movedPromises: z.int(),
  driveSeconds: z.number(),
  daysUsed: z.int(),
});
export const planChoice = z
  .object({
    resetId: id,
    resetVersion: version,
    horse: z.object({ id, name: z.string() }),
    yard: z.object({ id, name: z.string() }),
    farrier: personRef,
    on: localDate,
    startAt: instant,
    minutes: z.int(),
    lateDays: z.number(),
    movedPromise: z.boolean(),
    why: z.string(),
    wouldImprove: z.string().nullable(),
    filmNeeded: z.string().nullable().describe("a film to take before this reset, and why"),
  })
  .meta({ id: "PlanChoice" });
export const horizonPlan = z
  .object({
    id,
    status: z.enum(["waiting", "running", "done", "cancelled", "failed"]),
    fromOn: localDate,
    toOn: localDate,
    requestedBy: personRef,
    requestedAt: instant,
    finishedAt: instant.nullable(),
    progress: planScore.extend({ share: z.number(), round: z.int() }).nullable(),
    failure: z.string().nullable(),
    result: z
      .object({
        score: planScore,
        latePointsLowerBound: z.number().describe("no plan can have fewer late points"),
        driveSecondsLowerBound: z.number(),
        lateGap: z.number().describe("late points above the bound; 0 is proven best"),
        finished: z.boolean().describe("false: stopped at its time limit with the best so far"),
        choices: z.array(planChoice),
        unplaced: z.array(
          z.object({
            resetId: id,
            horse: z.object({ id, name: z.string() }),
            yard: z.object({ id, name: z.string() }),
            why: z.string(),
            wouldImprove: z.string(),
          }),
        ),
        driveTimes: z.enum(["road server", "estimate"]),
      })
      .nullable(),
    adopted: z.array(
      z.object({
        resetId: id,
        outcome: z.enum(["booked", "conflict", "refused"]),
        detail: z.string().nullable(),
      }),
    ),
    caution: z.string(),
    version,
  })
  .meta({ id: "HorizonPlan" });
export type HorizonPlanView = z.infer<typeof horizonPlan>;
const planId = z.strictObject({ planId: id });
export const startPlan = operation({
  id: "startPlan",
  method: "POST",
  path: "/plans",
  tag: "planning",
  access: deskWork,
  status: 201,
  summary: "Plan the resets of the coming weeks in the background",
  body: z.strictObject({
    fromOn: localDate,
    weeks: z.int().min(2).max(6).default(4),
    farrierIds: z.array(id).min(1).max(30).optional().describe("all active farriers if left out"),
    away: z
      .array(awayDays)
      .max(30)
      .default([])
      .describe("on top of the days off on record, such as a farrier who rang in sick"),
    keepBooked: z
      .enum(["fixed", "promised", "free"])
      .default("promised")
      .describe("what has been told to the yard: never moved, moved only if much is won, or free"),
    urgentResetIds: z
      .array(id)
      .max(50)
      .default([])
      .describe("an emergency: these go first whatever their due day"),
    vetVisits: z
      .array(
        z
          .strictObject({ vetId: id, yardId: id, on: localDate, from: clockTime, until: clockTime })
          .refine((visit) => visit.from < visit.until, {
            message: "ends before it begins",
            path: ["until"],
          }),
      )
      .max(60)
      .default([])
      .describe("when a vet is at a yard, for work that a plan wants a vet beside"),
    seconds: z.int().min(1).max(60).default(20),
    seed: z.int().min(1).max(1_000_000).default(1),
  }),
  response: horizonPlan,
});
export const listPlans = operation({
  id: "listPlans",
  method: "GET",
  path: "/plans",
  tag: "planning",
  access: staff,
  status: 200,
  summary: "The newest plans, without their results",
  response: z.object({ items: z.array(horizonPlan.omit({ result: true, adopted: true })) }),
});
export const readPlan = operation({
  id: "readPlan",
  method: "GET",
  path: "/plans/:planId",
  tag: "planning",
  access: deskWork,
  status: 200,
  summary: "A plan: its progress, then each choice and why",
  params: planId,
  response: horizonPlan,
});
export const cancelPlan = operation({
  id: "cancelPlan",
  method: "DELETE",
  path: "/plans/:planId",
  tag: "planning",
  access: deskWork,
  status: 204,
  summary: "Stop planning",
  params: planId,
  response: nothing,
});
export const adoptPlan = operation({
  id: "adoptPlan",
  method: "POST",
  path: "/plans/:planId/adoption",
  tag: "planning",
  access: deskWork,
  status: 200,
  summary: "Book what was chosen, each only if unchanged since the plan and allowed by the rules",
  params: planId,
  body: z.strictObject({
    choices: z
      .array(z.strictObject({ resetId: id, resetVersion: version }))
      .min(1)
      .max(200)
      .refine((items) => new Set(items.map((one) => one.resetId)).size === items.length, {
        message: "names a reset twice",
      }),
    reason: prose(500).optional().describe("needed where a visit is moved or late"),
  }),
  response: horizonPlan,
});

export const driveCalibration = z
  .object({
    circuity: z.number(),
    speedKmh: z.number(),
    tripsUsed: z.int(),
    tripsDropped: z.int(),
    typicalErrorShare: z.number().nullable(),
    basis: z.enum(["trips", "default"]),
    settingKeys: z.object({ circuity: z.string(), speed: z.string() }),
  })
  .meta({ id: "DriveCalibration" });
export const readDriveCalibration = operation({
  id: "readDriveCalibration",
  method: "GET",
  path: "/drive-calibration",
  tag: "planning",
  access: deskWork,
  status: 200,
  summary: "What the practice's own visits say about roads; the clinical lead may set it",
  response: driveCalibration,
});

const figures = z.object({
  onTime: z.int(),
  total: z.int(),
  share: z.number().nullable().describe("0 to 1; null while nothing can be judged"),
});
const overdueWeeks = z
  .array(z.object({ on: localDate, horses: z.int() }))
  .describe("horses past their due day, once a week for half a year");
export const readCompliance = operation({
  id: "readCompliance",
  method: "GET",
  path: "/reset-compliance",
  tag: "planning",
  access: deskWork,
  status: 200,
  summary: "Share of resets done within the grace after their due day, per farrier and yard",
  response: z.object({
    graceDays: z.int(),
    asOf: instant.describe("worked out now; the trend is kept every night"),
    practice: figures,
    byFarrier: z.array(figures.extend({ farrier: personRef, overdue: overdueWeeks })),
    byYard: z.array(
      figures.extend({ yard: z.object({ id, name: z.string() }), overdue: overdueWeeks }),
    ),
    overdue: overdueWeeks,
    trend: z.array(figures.extend({ on: localDate })).describe("the practice's figure by night"),
  }),
});

export const calendarFeed = z
  .object({
    id,
    label: z.string(),
    createdAt: instant,
    lastReadAt: instant.nullable(),
    revokedAt: instant.nullable(),
  })
  .meta({ id: "CalendarFeed" });
export const listCalendarFeeds = operation({
  id: "listCalendarFeeds",
  method: "GET",
  path: "/calendar-feeds",
  tag: "calendar",
  access: "anyone",
  status: 200,
  summary: "The caller's own calendar feeds",
  response: z.object({ items: z.array(calendarFeed) }),
});
export const makeCalendarFeed = operation({
  id: "makeCalendarFeed",
  method: "POST",
  path: "/calendar-feeds",
  tag: "calendar",
  access: "anyone",
  status: 201,
  summary: "A secret address for the caller's own calendar; shown once",
  body: z.strictObject({ label: line(80) }),
  response: calendarFeed.extend({ link: z.string().describe("shown once; it is not stored") }),
});
export const revokeCalendarFeed = operation({
  id: "revokeCalendarFeed",
  method: "DELETE",
  path: "/calendar-feeds/:feedId",
  tag: "calendar",
  access: "anyone",
  status: 204,
  summary: "Make a calendar address useless",
  params: z.strictObject({ feedId: id }),
  response: nothing,
});
export const readCalendar = operation({
  id: "readCalendar",
  method: "GET",
  path: "/calendar/:token",
  tag: "calendar",
  access: "public",
  status: 200,
  produces: "text/calendar",
  summary: "The dates of one person, for a calendar program (RFC 5545)",
  params: z.strictObject({
    token: z.string().regex(/^[\w-]{20,100}(\.ics)?$/, "is not a calendar address"),
  }),
  response: z.string(),
});

const reminderToken = z.strictObject({ token: z.string().min(20).max(200) });
export const reminderAnswer = z.enum(["yes", "no", "call me"]);
export const reminderView = z
  .object({
    practice: z.object({ name: z.string(), phone: z.string().nullable() }),
    horseName: z.string(),
    yard: z.string(),
    bookedFor: instant.nullable().describe("null: no date yet; we ask whether we may book one"),
    timeZone: z.string(),
    answered: z
      .object({
        answer: reminderAnswer,
        at: instant,
        holds: z.boolean().describe("false: the visit was moved, done or given up since"),
      })
      .nullable()
      .describe("a used link asks nothing any more; it shows what was answered"),
  })
  .meta({ id: "ReminderView" });
export const readReminder = operation({
  id: "readReminder",
  method: "GET",
  path: "/reminders/:token",
  tag: "reminders",
  access: "public",
  status: 200,
  summary: "What a reminder asks; once answered, what was said, for a fortnight",
  params: reminderToken,
  response: reminderView,
});
export const answerReminder = operation({
  id: "answerReminder",
  method: "POST",
  path: "/reminders/:token/answer",
  tag: "reminders",
  access: "public",
  status: 200,
  computes: true,
  summary: "Yes, No or Call me; works once",
  params: reminderToken,
  body: z.strictObject({ answer: reminderAnswer, message: prose(500).optional() }),
  response: z.object({ thanks: z.string() }),
});
export const sendReminder = operation({
  id: "sendReminder",
  method: "POST",
  path: "/resets/:resetId/reminders",
  tag: "reminders",
  access: staff,
  status: 201,
  summary: "Write to the owners about this reset, with a link to answer by",
  params: z.strictObject({ resetId: id }),
  response: z.object({
    writtenTo: z.array(personRef),
    notWrittenTo: z.array(z.object({ person: personRef, why: z.string() })),
  }),
});
