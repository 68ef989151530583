import { z } from "zod";
import { operation } from "./operation.ts";
import {
  finding,
  foot,
  id,
  instant,
  line,
  localDate,
  personRef,
  prose,
  quantity,
  source,
  version,
} from "./primitives.ts";

const horseId = z.strictObject({ horseId: id });
const readers = ["vet", "manager", "carer", "owner"] as const;

export const planPergolide = operation({
  id: "planPergolide",
  method: "POST",
  path: "/horses/:horseId/pergolide-plans",
  tag: "metabolic",
  access: ["vet"],
  status: 200,
  computes: true,
  summary:
    "Starting dose by weight, who must sign a dose, the blood window, and the steps after intolerance",
  params: horseId,
  body: z.strictObject({ doseMg: quantity(0.25, 20), on: localDate.optional() }),
  response: z.object({
    weightKg: z.number(),
    startMg: z.number().nullable(),
    usMaxMg: z.number(),
    microgramsPerKg: z.number(),
    needs: z.enum(["vet", "clinical lead", "refused"]),
    retestFrom: localDate,
    retestBy: localDate,
    afterIntolerance: z.array(z.object({ from: localDate, doseMg: z.number() })),
    source,
  }),
});
export const listSugarTests = operation({
  id: "listSugarTests",
  method: "GET",
  path: "/horses/:horseId/sugar-tests",
  tag: "metabolic",
  access: ["vet"],
  status: 200,
  summary: "Amount, minutes and cut-off of each sugar test at the weight in force",
  params: horseId,
  response: z.object({
    weightKg: z.number(),
    items: z.array(
      z.object({
        protocol: z.string(),
        amount: z.number(),
        unit: z.string(),
        fromMinute: z.number(),
        toMinute: z.number(),
        cutoffUiuPerMl: z.number(),
        source,
      }),
    ),
  }),
});

const feedingRequest = {
  dryMatterPercent: quantity(0.1, 4).describe("percent of body weight a day, as dry matter"),
  forage: z.enum(["hay", "haylage"]),
  dryShare: quantity(0.1, 1).describe("share of dry matter, such as 0.85"),
  soakHours: quantity(0, 24).optional(),
  grazing: z.boolean(),
  offFeedHours: quantity(0, 240).optional(),
};
const feedingFigures = z.object({
  dryMatterKg: z.number(),
  asFedKg: z.number().describe("weighed dry, before soaking"),
  floorAsFedKg: z.number(),
  weeklyLossKg: z.object({ least: z.number(), most: z.number() }),
  instructions: z.array(z.string()),
});
export const judgeFeedingPlan = operation({
  id: "judgeFeedingPlan",
  method: "POST",
  path: "/horses/:horseId/feeding-checks",
  tag: "metabolic",
  access: ["vet", "manager", "carer"],
  status: 200,
  computes: true,
  summary: "Hay weight and cautions for a ration, before a vet signs it",
  params: horseId,
  body: z.strictObject(feedingRequest),
  response: z.object({
    weightKg: z.number(),
    activePhase: z.boolean(),
    allowed: z.boolean(),
    plan: feedingFigures.nullable(),
    findings: z.array(finding),
  }),
});
export const feedingPlanView = z
  .object({
    id,
    horse: z.object({ id, name: z.string() }),
    caseId: id.nullable(),
    weightKg: z.number(),
    dryMatterPercent: z.number(),
    forage: z.string(),
    dryShare: z.number(),
    soakHours: z.number().nullable(),
    grazing: z.boolean(),
    activePhase: z.boolean(),
    plan: feedingFigures,
    findings: z.array(finding),
    targetWeightKg: z.number().nullable(),
    instructions: z.string().nullable(),
    startsOn: localDate,
    signedBy: personRef,
    signedAt: instant,
    signature: z.string(),
    endedAt: instant.nullable(),
    endReason: z.string().nullable(),
    version,
  })
  .meta({ id: "FeedingPlan" });
export type FeedingPlanView = z.infer<typeof feedingPlanView>;
export const signFeedingPlan = operation({
  id: "signFeedingPlan",
  method: "POST",
  path: "/horses/:horseId/feeding-plans",
  tag: "metabolic",
  access: ["vet"],
  status: 201,
  stepUp: true,
  summary: "Sign the ration; it takes the place of the one in force",
  params: horseId,
  body: z.strictObject({
    ...feedingRequest,
    targetWeightKg: quantity(20, 1500).optional(),
    instructions: prose(2000).optional(),
  }),
  response: feedingPlanView,
});
export const readFeedingPlan = operation({
  id: "readFeedingPlan",
  method: "GET",
  path: "/horses/:horseId/feeding-plan",
  tag: "metabolic",
  access: readers,
  status: 200,
  summary: "The ration card in force",
  params: horseId,
  response: feedingPlanView,
});
export const endFeedingPlan = operation({
  id: "endFeedingPlan",
  method: "POST",
  path: "/feeding-plans/:planId/end",
  tag: "metabolic",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "End the ration in force",
  params: z.strictObject({ planId: id }),
  body: z.strictObject({ reason: prose(1000) }),
  response: feedingPlanView,
});

export const readWeightCurve = operation({
  id: "readWeightCurve",
  method: "GET",
  path: "/horses/:horseId/weight-curve",
  tag: "metabolic",
  access: readers,
  status: 200,
  summary: "Weight, body condition and crest over time with the planned band of loss",
  params: horseId,
  query: z.strictObject({ from: localDate.optional() }),
  response: z.object({
    points: z.array(
      z.object({
        on: localDate,
        weightKg: z.number(),
        method: z.string(),
        lossPercentPerWeek: z
          .number()
          .nullable()
          .describe("on the weighing before by the same method, else the one before"),
        band: z
          .enum(["gaining", "slower than planned", "inside the band", "faster than planned"])
          .nullable(),
        changePercent: z.number().nullable(),
        level: z.enum(["none", "amber", "red"]),
      }),
    ),
    condition: z.array(
      z.object({
        on: localDate,
        bodyCondition: z.number().nullable(),
        crestyNeck: z.number().nullable(),
      }),
    ),
    band: z.object({ leastPercent: z.number(), mostPercent: z.number(), source }),
    targetWeightKg: z.number().nullable(),
    findings: z.array(finding),
  }),
});

const stage = z.object({
  name: line(120),
  leastDays: z.int().min(1).max(90),
  stopRules: z.array(line(300)).min(1).max(6),
});
export const movementLadder = z
  .object({
    id,
    horse: z.object({ id, name: z.string() }),
    caseId: id,
    stages: z.array(stage),
    stageIndex: z.int(),
    stageSince: localDate,
    countedDays: z.int().describe("days without a painkiller then or in the days before"),
    daysNeeded: z.int(),
    tailDays: z.int().describe("days after a painkiller that do not count either"),
    mayMoveUp: z.boolean(),
    painFlag: z.string().nullable(),
    status: z.enum(["live", "ended"]),
    moves: z.array(
      z.object({ at: instant, by: personRef, from: z.int(), to: z.int(), reason: z.string() }),
    ),
    source,
    version,
  })
  .meta({ id: "MovementLadder" });
export type MovementLadderView = z.infer<typeof movementLadder>;
export const startMovementLadder = operation({
  id: "startMovementLadder",
  method: "POST",
  path: "/horses/:horseId/movement-ladders",
  tag: "metabolic",
  access: ["vet"],
  status: 201,
  summary: "Start the return to movement; only one ladder is live at a time",
  params: horseId,
  body: z.strictObject({ stages: z.array(stage).min(2).max(12).optional() }),
  response: movementLadder,
});
export const readMovementLadder = operation({
  id: "readMovementLadder",
  method: "GET",
  path: "/horses/:horseId/movement-ladder",
  tag: "metabolic",
  access: [...readers, "farrier"],
  status: 200,
  summary: "The live ladder, where the horse stands and which days count",
  params: horseId,
  response: movementLadder,
});
export const moveOnLadder = operation({
  id: "moveOnLadder",
  method: "POST",
  path: "/movement-ladders/:ladderId/moves",
  tag: "metabolic",
  access: ["vet", "carer"],
  status: 200,
  ifMatch: true,
  summary:
    "One stage up (a vet, when enough days count), back (anyone who cares for it) or end it (a vet)",
  params: z.strictObject({ ladderId: id }),
  body: z.strictObject({ move: z.enum(["up", "back", "end"]), reason: prose(500) }),
  response: movementLadder,
});

const iceEntry = z.object({
  id,
  fromAt: instant,
  toAt: instant,
  hoofCelsius: z.number().nullable(),
  feet: z.array(z.string()),
  recordedBy: personRef,
  note: z.string().nullable(),
});
const iceLog = z.object({
  entries: z.array(iceEntry),
  totalHours: z.number(),
  hoursLast24: z.number(),
  hoursByDay: z.array(z.object({ on: localDate, hours: z.number() })),
  gaps: z.array(z.object({ fromAt: instant, toAt: instant, hours: z.number() })),
  warmReadings: z.array(z.object({ entryId: id, hoofCelsius: z.number() })),
  gapHours: z.number(),
  maxCelsius: z.number(),
  source,
});
export const addIceEntry = operation({
  id: "addIceEntry",
  method: "POST",
  path: "/horses/:horseId/ice-entries",
  tag: "metabolic",
  access: ["carer", "vet"],
  status: 201,
  summary: "Write down a time on ice, with the hoof's temperature where it was measured",
  params: horseId,
  body: z.strictObject({
    fromAt: instant,
    toAt: instant,
    feet: z.array(foot).min(1).max(4),
    hoofCelsius: quantity(-5, 45).optional(),
    note: prose(500).optional(),
  }),
  response: iceEntry,
});
export const readIceLog = operation({
  id: "readIceLog",
  method: "GET",
  path: "/horses/:horseId/ice-log",
  tag: "metabolic",
  access: ["vet", "carer", "manager"],
  status: 200,
  summary: "Hours on ice by day, gaps over two hours and readings that were too warm",
  params: horseId,
  query: z.strictObject({ from: localDate.optional() }),
  response: iceLog,
});

export const readHealingCurve = operation({
  id: "readHealingCurve",
  method: "GET",
  path: "/cases/:caseId/healing-curve",
  tag: "metabolic",
  access: ["vet", "manager"],
  status: 200,
  summary:
    "Five-sign scores against the typical course; from day 14 a slow case asks for a rethink",
  params: z.strictObject({ caseId: id }),
  response: z.object({
    points: z.array(
      z.object({
        on: localDate,
        day: z.int(),
        score: z.number(),
        expectedLow: z.number().describe("lower end of the typical course on that day"),
        expectedHigh: z.number(),
      }),
    ),
    day: z.int().nullable(),
    expected: z.object({ low: z.number(), mid: z.number(), high: z.number() }).nullable(),
    halfLifeDays: z.number().nullable(),
    slow: z.boolean(),
    relapse: z.boolean(),
    rethink: z.boolean(),
    prompt: z.string().nullable(),
    source: source.nullable(),
  }),
});
