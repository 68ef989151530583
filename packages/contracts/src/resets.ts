import { CONTACT_ANSWERS, RESET_OUTCOMES, RESET_STATES } from "@heelward/domain/cycle";
import { z } from "zod";
import { operation } from "./operation.ts";
import {
  clockTime,
  finding,
  id,
  instant,
  json,
  line,
  localDate,
  page,
  pageOf,
  personRef,
  prose,
  version,
} from "./primitives.ts";

/** What can come of a booked visit other than "done". */
const NOT_DONE = RESET_OUTCOMES.filter((outcome) => outcome !== "done");
const staff = ["vet", "farrier", "manager"] as const;
const resetId = z.strictObject({ resetId: id });
export const resetState = z.enum(RESET_STATES);
export const contactChannel = z.enum(["text", "call", "mail", "in person"]);
export const attemptKind = z.enum(["contact", "rebooked", ...NOT_DONE]);

export const reset = z
  .object({
    id,
    horse: z.object({ id, name: z.string(), type: z.string() }),
    yard: z.object({ id, name: z.string(), timeZone: z.string() }),
    caseId: id.nullable(),
    phase: z.string().nullable(),
    farrier: personRef.nullable(),
    status: z.enum(["open", "booked", "done", "dropped"]),
    state: resetState,
    daysLate: z.int(),
    lastDoneOn: localDate,
    intervalDays: z.int(),
    dueOn: localDate,
    bookBy: localDate.describe("the due day, or earlier when the forecast says so"),
    opensOn: localDate,
    ceilingOn: localDate,
    latestSafeOn: localDate
      .nullable()
      .describe("day when the fast edge of the growth forecast meets the limit"),
    reasons: z.array(z.string()),
    lengthenReason: z.string().nullable(),
    breakoverNowMm: z.number().nullable(),
    breakoverLimitMm: z.number().nullable(),
    bookedFor: instant.nullable(),
    bookedMinutes: z.int().nullable(),
    job: z.string().nullable(),
    whoseMove: z.object({ role: z.string(), person: z.string(), action: z.string() }),
    pausedReason: z.string().nullable(),
    attempts: z.array(
      z.object({
        id,
        at: instant,
        kind: attemptKind,
        channel: contactChannel.nullable(),
        answer: z.enum(CONTACT_ANSWERS).nullable(),
        detail: z.string(),
        madeBy: personRef,
      }),
    ),
    contactLine: z
      .string()
      .nullable()
      .describe("tries since the last answer, for the alert; null when none waits"),
    ownerAnswer: z.enum(CONTACT_ANSWERS).nullable().describe("to the visit as booked now"),
    estimatedMinutes: z.int().describe("how long this job takes, by horse and kind of job"),
    daysUntilLatestSafe: z
      .int()
      .nullable()
      .describe("days until the fast edge of the growth forecast meets the limit"),
    filmNeeded: z.string().nullable().describe("a film to take before this reset, and why"),
    findings: z.array(finding),
    version,
  })
  .meta({ id: "Reset" });
export type Reset = z.infer<typeof reset>;

export const listResets = operation({
  id: "listResets",
  method: "GET",
  path: "/resets",
  tag: "resets",
  access: staff,
  status: 200,
  summary: "Open resets, most overdue first",
  query: page.extend({
    farrierId: id.optional(),
    yardId: id.optional(),
    state: resetState.optional(),
    dueBefore: localDate.optional(),
    horseId: id.optional(),
    sort: z
      .enum(["due", "latest safe"])
      .default("due")
      .describe("`latest safe`: fewest days of slack before growth meets the limit first"),
  }),
  response: pageOf(reset),
});
export const readReset = operation({
  id: "readReset",
  method: "GET",
  path: "/resets/:resetId",
  tag: "resets",
  access: staff,
  status: 200,
  summary: "One reset",
  params: resetId,
  response: reset,
});
export const startResetCycle = operation({
  id: "startResetCycle",
  method: "POST",
  path: "/horses/:horseId/resets",
  tag: "resets",
  access: ["vet", "manager"],
  status: 201,
  summary: "Start the reset cycle of a horse from its last trim",
  params: z.strictObject({ horseId: id }),
  body: z.strictObject({
    lastDoneOn: localDate,
    intervalDays: z.int().min(7).max(56),
    farrierId: id.optional(),
  }),
  response: reset,
});
export const changeInterval = operation({
  id: "changeInterval",
  method: "PATCH",
  path: "/resets/:resetId",
  tag: "resets",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Shorten the interval, or lengthen it with a reason",
  params: resetId,
  body: z.strictObject({
    intervalDays: z.int().min(1).max(56),
    lengthenReason: prose(1000).optional(),
  }),
  response: reset,
});
export const bookReset = operation({
  id: "bookReset",
  method: "POST",
  path: "/resets/:resetId/booking",
  tag: "resets",
  access: ["manager", "farrier", "vet"],
  status: 200,
  ifMatch: true,
  summary: "Book or rebook the visit",
  params: resetId,
  body: z.strictObject({
    bookedFor: instant,
    minutes: z.int().min(10).max(300).optional().describe("by horse and kind of job if left out"),
    farrierId: id.optional(),
    job: line(120).optional(),
    reason: prose(500).optional(),
  }),
  response: reset,
});
export const cancelBooking = operation({
  id: "cancelBooking",
  method: "POST",
  path: "/resets/:resetId/cancellation",
  tag: "resets",
  access: ["manager", "farrier", "vet"],
  status: 200,
  ifMatch: true,
  summary: "A booked visit did not happen: say why, and rebook or name who will",
  params: resetId,
  body: z
    .strictObject({
      kind: z.enum(NOT_DONE),
      detail: prose(1000),
      rebookFor: instant.optional(),
      personToRebook: id.optional(),
    })
    .refine((input) => input.rebookFor !== undefined || input.personToRebook !== undefined, {
      message: "rebook it, or name the person who will",
      path: ["rebookFor"],
    }),
  response: reset,
});
export const logAttempt = operation({
  id: "logAttempt",
  method: "POST",
  path: "/resets/:resetId/attempts",
  tag: "resets",
  access: ["manager", "farrier", "vet"],
  status: 201,
  summary: "Log an attempt to reach the owner",
  params: resetId,
  body: z.strictObject({
    detail: prose(1000),
    at: instant,
    channel: contactChannel.optional(),
    reply: prose(500)
      .optional()
      .describe("what the owner answered, word for word; a plain yes, no or call me is understood"),
  }),
  response: reset,
});

const slot = z.object({ farrier: personRef, startAt: instant, on: localDate, note: z.string() });
export const listSlots = operation({
  id: "listSlots",
  method: "GET",
  path: "/resets/:resetId/slots",
  tag: "resets",
  access: staff,
  status: 200,
  summary: "Days and times at which this reset could be booked, inside its limits",
  params: resetId,
  query: z.strictObject({
    farrierId: id.optional(),
    minutes: z.coerce.number().int().min(10).max(300).optional(),
  }),
  response: z.object({ items: z.array(slot), dueOn: localDate, lastDayOn: localDate }),
});
export const checkBooking = operation({
  id: "checkBooking",
  method: "POST",
  path: "/resets/:resetId/booking/check",
  tag: "resets",
  access: ["manager", "farrier", "vet"],
  status: 200,
  computes: true,
  summary: "What the rules say of a date before it is booked, and how long that day gets",
  params: resetId,
  body: z.strictObject({
    bookedFor: instant,
    minutes: z.int().min(10).max(300).optional(),
    farrierId: id.optional(),
  }),
  response: z.object({
    isAllowed: z.boolean(),
    findings: z.array(finding),
    minutes: z.int(),
    dayMinutes: z.int().describe("work on that day with this visit, without driving"),
    dayLengthMinutes: z.int().nullable().describe("null: not a working day"),
  }),
});
export const exportResets = operation({
  id: "exportResets",
  method: "GET",
  path: "/resets/board.csv",
  tag: "resets",
  access: ["vet", "manager"],
  status: 200,
  produces: "text/csv; charset=utf-8",
  summary: "The board as a table (RFC 4180) that no spreadsheet takes for formulas",
  query: z.strictObject({ farrierId: id.optional(), yardId: id.optional() }),
  response: z.string(),
});

export const routeStop = z
  .object({
    resetIds: z.array(id),
    yard: z.object({
      id,
      name: z.string(),
      lat: z.number(),
      lon: z.number(),
      accessNotes: z.string().nullable(),
      phone: z.string().nullable(),
    }),
    horses: z.array(
      z.object({
        id,
        name: z.string(),
        caseId: id.nullable(),
        job: z.string(),
        minutes: z.int(),
        state: z.string(),
        why: z.string(),
        prescriptionId: id.nullable(),
        bookedFor: instant
          .nullable()
          .describe("what the yard was told; null: due, and no date yet"),
      }),
    ),
    arriveAt: instant,
    startAt: instant,
    leaveAt: instant,
    slackMinutes: z.number(),
    driveKm: z.number(),
    driveMinutes: z.number(),
    geoLink: z.string(),
  })
  .meta({ id: "RouteStop" });
export const routeDay = z
  .object({
    date: localDate,
    farrier: personRef,
    stops: z.array(routeStop),
    totalKm: z.number(),
    totalDriveMinutes: z.number(),
    workMinutes: z.number(),
    start: z
      .object({ lat: z.number(), lon: z.number() })
      .nullable()
      .describe("where the day begins and ends"),
    departsAt: instant.nullable(),
    endsAt: instant.nullable(),
    proof: z.enum(["optimal", "bound", "nothing to plan"]),
    problems: z.array(z.string()),
    unplanned: z.array(z.object({ horse: z.string(), reason: z.string() })),
    map: json
      .nullable()
      .describe("the day as GeoJSON (RFC 7946): a line in the order driven and a point per yard"),
  })
  .meta({ id: "RouteDay" });
export type RouteDay = z.infer<typeof routeDay>;
export const readRouteDay = operation({
  id: "readRouteDay",
  method: "GET",
  path: "/route-days/:date",
  tag: "routes",
  access: staff,
  status: 200,
  summary: "A farrier's day in the best order",
  params: z.strictObject({ date: localDate }),
  query: z.strictObject({
    farrierId: id.optional(),
    startTime: clockTime.default("08:00"),
    include: z
      .enum(["booked", "due"])
      .default("booked")
      .describe("`due`: a draft that also takes in what is due or late and has no date"),
    startLat: z.coerce.number().min(-90).max(90).optional(),
    startLon: z.coerce.number().min(-180).max(180).optional(),
  }),
  response: routeDay,
});
export const reportDelay = operation({
  id: "reportDelay",
  method: "POST",
  path: "/route-days/:date/delay",
  tag: "routes",
  access: ["farrier", "manager"],
  status: 201,
  summary: "Running late: plan the rest of the day again and tell the yards and owners",
  params: z.strictObject({ date: localDate }),
  body: z.strictObject({
    freeAt: instant.describe("when the next drive can begin"),
    farrierId: id.optional(),
    at: z
      .strictObject({ lat: z.number().min(-90).max(90), lon: z.number().min(-180).max(180) })
      .optional()
      .describe("where that drive begins; the last yard of the day if left out"),
    underWay: z
      .array(id)
      .max(20)
      .default([])
      .describe("resets being done now; they are not planned again"),
    note: prose(300).optional(),
  }),
  response: z.object({
    day: routeDay,
    told: z.array(
      z.object({
        horse: z.string(),
        yard: z.string(),
        was: instant,
        now: instant.nullable().describe("null: it no longer fits into the day"),
      }),
    ),
  }),
});
