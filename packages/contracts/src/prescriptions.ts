import { z } from "zod";
import { operation } from "./operation.ts";
import {
  finding,
  foot,
  id,
  instant,
  json,
  line,
  localDate,
  override,
  page,
  pageOf,
  personRef,
  prose,
  quantity,
  source,
  version,
} from "./primitives.ts";

const readers = ["vet", "farrier", "manager"] as const;
const prescriptionId = z.strictObject({ prescriptionId: id });

const band = z
  .strictObject({ low: quantity(-10, 30), high: quantity(-10, 30) })
  .refine((range) => range.low <= range.high, { message: "low must not exceed high" });

/** What is prescribed for one foot, in millimetres and degrees. */
export const footPlan = z
  .strictObject({
    foot,
    toeBackMm: quantity(0, 60).describe("at ground level"),
    breakoverFromP3TipMm: quantity(-20, 40),
    breakoverFromFrogTipMm: quantity(0, 120).nullable().default(null),
    heelRemoveMm: quantity(0, 40),
    palmarAngleTargetDegrees: band,
    soleMinMm: quantity(0, 40),
    wedgeDegrees: quantity(0, 15).default(0),
    wedgeReason: prose(500).nullable().default(null),
    shoe: line(60),
    supportFill: line(60),
    fixing: line(60),
    limitMm: quantity(0, 60)
      .nullable()
      .default(null)
      .describe("furthest breakover ahead of the tip of P3 before the next reset"),
    notes: prose(1000).nullable().default(null),
  })
  .meta({ id: "FootPlan" });
export type FootPlanView = z.infer<typeof footPlan>;

export const prescriptionStatus = z.enum([
  "draft",
  "signed",
  "accepted",
  "queried",
  "declined",
  "done",
  "superseded",
  "withdrawn",
]);
const content = {
  aim: prose(500),
  feet: z.array(footPlan).min(1).max(4),
  doNot: z.array(line(300)).max(20),
  conditions: z.strictObject({
    emergency: z
      .boolean()
      .default(false)
      .describe("first aid: the feet are not yet measured and agreed"),
    wedgeTrialDays: z
      .int()
      .min(1)
      .max(60)
      .optional()
      .describe("end of a heel-raise trial, days after fitting"),
    trial: z
      .strictObject({
        question: prose(300).describe("what vet and farrier see differently"),
        vetWouldChange: prose(300).describe("what would change the vet's mind"),
        farrierWouldChange: prose(300).describe("what would change the farrier's mind"),
        days: z.int().min(1).max(60).describe("days after fitting; a film is due on the last"),
      })
      .optional()
      .describe("a time-limited trial where the two see it differently"),
    filmAfterFitting: z
      .boolean()
      .optional()
      .describe("left out means yes: films before and after; trimming itself changes the readings"),
    vetPresent: z.boolean().default(false),
    nerveBlock: z.boolean().default(false),
    handler: z.boolean().default(false),
    surface: line(200).optional(),
    stopRule: line(300).optional(),
  }),
  intervalDays: z.int().min(1).max(56),
  urgent: z.boolean(),
  radiographIds: z.array(id).max(8),
};
export const prescriptionMessage = z
  .object({
    id,
    kind: z.enum(["accepted", "queried", "answered", "declined"]),
    text: z.string().nullable(),
    counterProposal: json.nullable(),
    writtenBy: personRef,
    writtenAt: instant,
    happenedAt: instant.nullable().describe("when it was said, where it arrived later"),
  })
  .meta({ id: "PrescriptionMessage" });
const costBand = {
  fromAmount: z.int().min(0).max(100_000),
  toAmount: z.int().min(0).max(100_000),
  currency: z.enum(["EUR", "GBP", "USD"]),
  covers: line(300).describe("what the figures include"),
};
/** What carrying out a plan is likely to cost, in whole units of the currency. */
export const planCost = z.object(costBand).meta({ id: "PlanCost" });
export type PlanCostView = z.infer<typeof planCost>;
export const planConsent = z
  .object({
    at: instant,
    by: personRef.describe("who wrote it down: the owner, or the one who was told"),
    givenBy: z.string(),
    words: z.string().nullable(),
  })
  .meta({ id: "PlanConsent" });
export const prescription = z
  .object({
    id,
    horseId: id,
    caseId: id,
    number: z.int(),
    horse: z.object({ id, name: z.string() }),
    status: prescriptionStatus,
    ...content,
    findings: z.array(finding),
    overrides: z.array(override),
    cost: planCost.nullable(),
    consent: planConsent.nullable().describe("the owner's yes to the plan as it stands"),
    draftedBy: personRef,
    signedBy: personRef.nullable(),
    signedAt: instant.nullable(),
    signature: z.string().nullable(),
    signedText: z.string().nullable().describe("the exact canonical text that was signed"),
    signingKeyId: id.nullable(),
    replacesId: id.nullable(),
    supersededAt: instant.nullable(),
    repliedBy: personRef.nullable(),
    repliedAt: instant.nullable(),
    messages: z.array(prescriptionMessage),
    isCurrent: z.boolean(),
    version,
  })
  .meta({ id: "Prescription" });
export type Prescription = z.infer<typeof prescription>;

export const proposeTrim = operation({
  id: "proposeTrim",
  method: "POST",
  path: "/radiographs/:radiographId/trim-proposal",
  tag: "prescriptions",
  access: ["vet", "farrier"],
  status: 200,
  computes: true,
  summary: "Work out a trim and shoe plan from a film's measures; it proposes, a vet signs",
  params: z.strictObject({ radiographId: id }),
  body: z.strictObject({
    palmarAngleTargetDegrees: band.optional(),
    breakoverTargetMm: z
      .strictObject({ low: quantity(-20, 40), high: quantity(-20, 40) })
      .refine((range) => range.low <= range.high, { message: "low must not exceed high" })
      .optional(),
    heelPerVisitMm: quantity(0, 10).optional(),
    soleMinMm: quantity(0, 40).optional(),
    shoe: line(60).default("bare"),
    supportFill: line(60).default("none"),
    fixing: line(60).default("none"),
    emergency: z.boolean().default(false),
    intervalDays: z.int().min(1).max(56).optional(),
  }),
  response: z.object({
    foot,
    plan: footPlan
      .nullable()
      .describe("the proposal in the form of a prescription; null when a measure is missing"),
    findings: z.array(finding),
    proposal: json
      .nullable()
      .describe(
        "every figure of the planner: trim, after, stages, constraints, lever, bearing, reset",
      ),
    outline: json.nullable().describe("side and solar outlines in mm, for drawing"),
  }),
});
export type TrimProposalView = z.infer<typeof proposeTrim.response>;

export const listPrescriptions = operation({
  id: "listPrescriptions",
  method: "GET",
  path: "/cases/:caseId/prescriptions",
  tag: "prescriptions",
  access: readers,
  status: 200,
  summary: "Trim and shoe prescriptions of a case, newest first",
  params: z.strictObject({ caseId: id }),
  response: z.object({ items: z.array(prescription) }),
});
export const readPrescription = operation({
  id: "readPrescription",
  method: "GET",
  path: "/prescriptions/:prescriptionId",
  tag: "prescriptions",
  access: readers,
  status: 200,
  summary: "One prescription",
  params: prescriptionId,
  response: prescription,
});
export const readPlanPage = operation({
  id: "readPlanPage",
  method: "GET",
  path: "/prescriptions/:prescriptionId/page.pdf",
  tag: "prescriptions",
  access: readers,
  status: 200,
  produces: "application/pdf",
  summary:
    "The plan on one page: both drawings, the figures in mm, cautions, contact, a code to the case",
  params: prescriptionId,
  query: z.strictObject({ paper: z.enum(["A4", "Letter"]).default("A4") }),
  response: z.any(),
});
export const draftPrescription = operation({
  id: "draftPrescription",
  method: "POST",
  path: "/cases/:caseId/prescriptions",
  tag: "prescriptions",
  access: ["vet"],
  status: 201,
  summary: "Draft a trim and shoe prescription",
  params: z.strictObject({ caseId: id }),
  body: z.strictObject({
    ...content,
    doNot: content.doNot.default([]),
    urgent: content.urgent.default(false),
    radiographIds: content.radiographIds.default([]),
  }),
  response: prescription,
});
export const changePrescription = operation({
  id: "changePrescription",
  method: "PATCH",
  path: "/prescriptions/:prescriptionId",
  tag: "prescriptions",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Change a draft",
  params: prescriptionId,
  body: z.strictObject(content).partial(),
  response: prescription,
});
export const setPlanCost = operation({
  id: "setPlanCost",
  method: "PUT",
  path: "/prescriptions/:prescriptionId/cost",
  tag: "prescriptions",
  access: ["vet", "manager"],
  status: 200,
  ifMatch: true,
  summary: "Say what a drafted plan is likely to cost; the owner is then asked about it",
  params: prescriptionId,
  body: z.strictObject(costBand).refine((band) => band.fromAmount <= band.toAmount, {
    message: "must not be less than the lower figure",
    path: ["toAmount"],
  }),
  response: prescription,
});
export const recordPlanConsent = operation({
  id: "recordPlanConsent",
  method: "POST",
  path: "/prescriptions/:prescriptionId/consent",
  tag: "prescriptions",
  access: ["vet", "manager"],
  status: 200,
  ifMatch: true,
  summary: "Write down that the owner agreed to a drafted plan, by phone or in person",
  params: prescriptionId,
  body: z.strictObject({
    givenBy: line(120).describe("who agreed"),
    words: prose(500).optional(),
  }),
  response: prescription,
});
export const signPrescription = operation({
  id: "signPrescription",
  method: "POST",
  path: "/prescriptions/:prescriptionId/signature",
  tag: "prescriptions",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary:
    "Sign a prescription; it replaces the current one for this horse and writes the farrier's note",
  params: prescriptionId,
  body: z.strictObject({
    readBack: z.strictObject({ filmOpened: z.boolean(), targetsConfirmed: z.literal(true) }),
    overrides: z.array(override).max(20).default([]),
    longerIntervalReason: prose(1000).optional().describe("needed past the ceiling of the phase"),
    note: prose(400).optional().describe("takes the place of the drafted note to farrier and yard"),
  }),
  response: prescription,
});
export const replyToPrescription = operation({
  id: "replyToPrescription",
  method: "POST",
  path: "/prescriptions/:prescriptionId/reply",
  tag: "prescriptions",
  access: ["farrier"],
  status: 200,
  ifMatch: true,
  summary: "Accept, ask, or decline with a reason and a counter-proposal in mm",
  params: prescriptionId,
  body: z
    .strictObject({
      reply: z.enum(["accepted", "queried", "declined"]),
      text: prose(2000).optional(),
      counterProposal: z
        .array(
          z.strictObject({
            foot,
            heelRemoveMm: quantity(0, 40).optional(),
            breakoverFromP3TipMm: quantity(-20, 40).optional(),
            shoe: line(60).optional(),
          }),
        )
        .max(4)
        .optional(),
    })
    .refine((input) => input.reply === "accepted" || input.text !== undefined, {
      message: "say why, so that the vet can answer",
      path: ["text"],
    }),
  response: prescription,
});
export const answerPrescription = operation({
  id: "answerPrescription",
  method: "POST",
  path: "/prescriptions/:prescriptionId/answer",
  tag: "prescriptions",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Answer the farrier's question; the signed plan stays as it is",
  params: prescriptionId,
  body: z.strictObject({ text: prose(2000) }),
  response: prescription,
});
export const withdrawPrescription = operation({
  id: "withdrawPrescription",
  method: "POST",
  path: "/prescriptions/:prescriptionId/withdrawal",
  tag: "prescriptions",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Withdraw a draft or a signed prescription that must not be carried out",
  params: prescriptionId,
  body: z.strictObject({ reason: prose(1000) }),
  response: prescription,
});

export const footDone = z
  .strictObject({
    foot,
    breakoverBeforeMm: quantity(-20, 80).nullable().default(null),
    breakoverAfterMm: quantity(-20, 80),
    heelRemovedMm: quantity(0, 40),
    toeBackMm: quantity(0, 60).nullable().default(null),
    soleTouched: z.boolean().default(false),
    wedgeDegrees: quantity(0, 15).default(0),
    shoe: line(60),
    supportFill: line(60).default("none"),
    fixing: line(60),
    newGrowthLineMm: quantity(0, 150).nullable().default(null),
    notes: prose(1000).nullable().default(null),
  })
  .meta({ id: "FootDone" });
const comfort = z
  .strictObject({
    obelGrade: z.int().min(0).max(4).optional(),
    fiveSignScore: z.int().min(0).max(12).optional(),
    weightShiftsPerMinute: quantity(0, 60).optional(),
  })
  .refine((seen) => Object.values(seen).some((value) => value !== undefined), {
    message: "say at least one sign",
  })
  .meta({ id: "Comfort" });
export const shoeingRecord = z
  .object({
    id,
    horseId: id,
    caseId: id.nullable(),
    prescriptionId: id.nullable(),
    prescriptionNumber: z.int().nullable(),
    farrier: personRef,
    startedAt: instant.nullable(),
    doneAt: instant,
    receivedAt: instant,
    cameLate: z
      .object({ deviceAt: instant, clockOffsetMs: z.int() })
      .nullable()
      .describe("kept on a device without signal: what its clock said, and how far that was out"),
    byReplacedPlan: z.boolean().describe("the plan had been replaced while there was no signal"),
    asPlanned: z.boolean(),
    feet: z.array(footDone),
    comparison: z.array(
      z.object({
        foot,
        quantity: z.string(),
        unit: z.enum(["mm", "degrees"]),
        planned: z.union([z.number(), z.object({ low: z.number(), high: z.number() })]),
        done: z.number().nullable(),
        difference: z.number().nullable(),
        tolerance: z.number(),
        within: z.boolean(),
      }),
    ),
    deviations: z.array(z.string()),
    wedgeRemoval: z.string().nullable().describe("says so when a heel raise must come out at once"),
    comfortBefore: comfort.nullable(),
    comfortAfter: comfort.nullable(),
    departures: z.string().nullable(),
    notes: z.string().nullable(),
    photoIds: z.array(id),
    nextResetOn: localDate.nullable(),
    postFitFilm: z
      .object({
        state: z.enum(["not wanted", "wanted", "attached", "waived"]),
        radiographIds: z.array(id),
        waivedReason: z.string().nullable(),
        settledBy: personRef.nullable(),
        settledAt: instant.nullable(),
      })
      .describe("the visit stays amber while it is wanted"),
  })
  .meta({ id: "ShoeingRecord" });
export type ShoeingRecord = z.infer<typeof shoeingRecord>;
export const listShoeingRecords = operation({
  id: "listShoeingRecords",
  method: "GET",
  path: "/horses/:horseId/shoeing-records",
  tag: "prescriptions",
  access: readers,
  status: 200,
  summary: "What was done to the feet, latest first",
  params: z.strictObject({ horseId: id }),
  query: page,
  response: pageOf(shoeingRecord),
});
export const settlePostFitFilm = operation({
  id: "settlePostFitFilm",
  method: "POST",
  path: "/shoeing-records/:shoeingRecordId/post-fit-film",
  tag: "prescriptions",
  access: ["vet"],
  status: 201,
  summary: "Attach the film taken after fitting, or waive it with a reason",
  params: z.strictObject({ shoeingRecordId: id }),
  body: z.union([
    z.strictObject({ radiographId: id }),
    z.strictObject({ waivedReason: prose(500) }),
  ]),
  response: shoeingRecord,
});
export const hoofGrowth = z
  .object({
    growthMmPer30d: z.number().describe("along the wall, yearly mean"),
    sdMmPer30d: z.number(),
    cv: z.number().describe("spread handed to the forecast, SD / mean"),
    low95: z.number(),
    high95: z.number(),
    readings: z.int(),
    readingsWanting: z.int(),
    basis: z.enum([
      "published rate",
      "own readings with the published rate",
      "figure on the horse's record",
    ]),
    publishedMmPer30d: z.number(),
    source,
    lineReadings: z.array(z.object({ on: localDate, distanceMm: z.number() })),
    visits: z.array(
      z.object({
        on: localDate,
        foot,
        foundMm: z.number().nullable().describe("breakover in front of the tip of P3"),
        leftMm: z.number(),
      }),
    ),
  })
  .meta({ id: "HoofGrowth" });
export type HoofGrowth = z.infer<typeof hoofGrowth>;
export const readHoofGrowth = operation({
  id: "readHoofGrowth",
  method: "GET",
  path: "/horses/:horseId/hoof-growth",
  tag: "prescriptions",
  access: readers,
  status: 200,
  summary: "How fast this horse's feet grow, from its own readings and the published rate",
  params: z.strictObject({ horseId: id }),
  response: hoofGrowth,
});
export const recordShoeing = operation({
  id: "recordShoeing",
  method: "POST",
  path: "/horses/:horseId/shoeing-records",
  tag: "prescriptions",
  access: ["farrier"],
  status: 201,
  summary:
    "Record what was done; departures reach the vet, and the next date is booked or its absence explained",
  params: z.strictObject({ horseId: id }),
  body: z.strictObject({
    prescriptionId: id.optional(),
    startedAt: instant.optional(),
    doneAt: instant,
    asPlanned: z.boolean(),
    feet: z.array(footDone).min(1).max(4),
    comfortBefore: comfort.optional(),
    comfortAfter: comfort.optional(),
    departures: prose(2000).optional(),
    notes: prose(2000).optional(),
    photoIds: z.array(id).max(20).default([]),
    nextReset: z.union([
      z.strictObject({ bookedFor: instant }),
      z.strictObject({ noDateReason: prose(500), personToBook: id.describe("who finds the date") }),
    ]),
    noteToVet: prose(400).optional(),
    lastRecordId: id
      .nullable()
      .optional()
      .describe("the newest visit that was seen; refused as a conflict when another came since"),
    byReplacedPlan: z
      .literal(true)
      .optional()
      .describe("the named plan was replaced meanwhile and was worked by all the same"),
  }),
  response: shoeingRecord.extend({ nextResetId: id }),
});
