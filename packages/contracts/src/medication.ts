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
  override,
  page,
  pageOf,
  personRef,
  prose,
  quantity,
  source,
  version,
} from "./primitives.ts";

const courseId = z.strictObject({ courseId: id });
const horseId = z.strictObject({ horseId: id });
export const medicineRoute = z.enum(["oral", "intravenous", "intramuscular", "patch", "topical"]);
export const doseOutcome = z.enum(["given", "refused", "spat out", "not given"]);

export const readFormulary = operation({
  id: "readFormulary",
  method: "GET",
  path: "/formulary",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  summary: "Medicines with every figure's source, date and standing",
  response: z.object({
    jurisdiction: z.string(),
    edition: z.object({ version: z.string(), reviewOn: localDate }),
    drugs: z.array(json),
    unverified: z
      .array(z.object({ id: z.string(), value: z.number(), unit: z.string(), source }))
      .describe("figures recalled from memory that no vet of the practice has confirmed"),
  }),
});

export const courseStep = z
  .strictObject({
    fromDay: z.int().min(1).max(400),
    toDay: z.int().min(1).max(400),
    doseMg: quantity(0.01, 100000),
    timesLocal: z.array(clockTime).min(1).max(6),
    everyDays: z.int().min(1).max(14),
  })
  .refine((step) => step.toDay >= step.fromDay, {
    message: "must not end before it starts",
    path: ["toDay"],
  })
  .meta({ id: "CourseStep" });
const courseContent = {
  drugKey: line(60),
  presentationKey: line(60),
  route: medicineRoute,
  steps: z.array(courseStep).min(1).max(12),
  startOn: localDate,
  instructions: prose(2000).nullable(),
  reviewOn: localDate.nullable(),
  continuesFromDay: z
    .int()
    .min(1)
    .max(400)
    .nullable()
    .describe("treatment began elsewhere: the day number that day 1 stands for"),
  restartsSeries: z
    .boolean()
    .describe("the vet confirms a fresh start although the last course ended under 14 days ago"),
  vetSetsSchedule: z
    .boolean()
    .describe("donkeys and mules: the vet worked dose and interval out for this animal"),
  hydrationRecorded: z
    .boolean()
    .describe("hydration and creatinine were looked at for this course and are on record"),
  recheckOn: localDate.nullable().describe("day of the next blood test, where one must be fixed"),
  replacesCourseId: id
    .nullable()
    .describe("a running course that ends the moment this one is signed"),
};
const newCourse = {
  ...courseContent,
  instructions: courseContent.instructions.default(null),
  reviewOn: courseContent.reviewOn.default(null),
  continuesFromDay: courseContent.continuesFromDay.default(null),
  restartsSeries: courseContent.restartsSeries.default(false),
  vetSetsSchedule: courseContent.vetSetsSchedule.default(false),
  hydrationRecorded: courseContent.hydrationRecorded.default(false),
  recheckOn: courseContent.recheckOn.default(null),
  replacesCourseId: courseContent.replacesCourseId.default(null),
};
export const judgedCourse = z
  .object({ findings: z.array(finding), plan: json.nullable(), allowed: z.boolean() })
  .meta({ id: "JudgedCourse" });
export const course = z
  .object({
    id,
    horseId: id,
    caseId: id.nullable(),
    horse: z.object({ id, name: z.string() }),
    drugName: z.string(),
    ...courseContent,
    endOn: localDate.nullable(),
    timeZone: z.string(),
    weightKg: z.number(),
    weightLowKg: z.number(),
    weightHighKg: z.number(),
    weightMethod: z.string(),
    status: z.enum(["draft", "signed", "held", "stopped", "finished"]),
    reason: z.string().nullable(),
    findings: z.array(finding),
    overrides: z.array(override),
    plan: json.nullable(),
    draftedBy: personRef,
    signedBy: personRef.nullable(),
    signedAt: instant.nullable(),
    signature: z.string().nullable(),
    stoppedAt: instant.nullable(),
    stopReason: z.string().nullable(),
    shifts: z
      .array(
        z.object({
          at: instant,
          by: personRef,
          fromAt: instant.describe("when the first dose that moved was planned until then"),
          byMinutes: z.int(),
          reason: z.string(),
        }),
      )
      .describe("signed changes of the clock: the doses from then on come later"),
    hold: z
      .object({
        id,
        reason: z.string(),
        raisedAt: instant,
        raisedBy: personRef.nullable(),
        findings: z.array(finding),
      })
      .nullable(),
    version,
  })
  .meta({ id: "Course" });
export type CourseView = z.infer<typeof course>;
export const judgeCourseDraft = operation({
  id: "judgeCourseDraft",
  method: "POST",
  path: "/horses/:horseId/course-checks",
  tag: "medication",
  access: ["vet"],
  status: 200,
  computes: true,
  summary:
    "Check a course before it is drafted: what passes, warns and blocks, and what the yard would measure",
  params: horseId,
  body: z.strictObject(newCourse),
  response: judgedCourse,
});
export const listCourses = operation({
  id: "listCourses",
  method: "GET",
  path: "/horses/:horseId/courses",
  tag: "medication",
  access: ["vet", "manager", "carer"],
  status: 200,
  summary: "Medication courses, newest first",
  params: horseId,
  query: page,
  response: pageOf(course),
});
export const readCourse = operation({
  id: "readCourse",
  method: "GET",
  path: "/courses/:courseId",
  tag: "medication",
  access: ["vet", "manager", "carer"],
  status: 200,
  summary: "One course",
  params: courseId,
  response: course,
});
export const draftCourse = operation({
  id: "draftCourse",
  method: "POST",
  path: "/horses/:horseId/courses",
  tag: "medication",
  access: ["vet"],
  status: 201,
  summary: "Draft a course; it is not given until signed",
  params: horseId,
  body: z.strictObject({ ...newCourse, reason: prose(1000).optional() }),
  response: course,
});
export const changeCourse = operation({
  id: "changeCourse",
  method: "PATCH",
  path: "/courses/:courseId",
  tag: "medication",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Change a draft course",
  params: courseId,
  body: z.strictObject(courseContent).partial(),
  response: course,
});
export const signCourse = operation({
  id: "signCourse",
  method: "POST",
  path: "/courses/:courseId/signature",
  tag: "medication",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary: "Sign a course; a block stops it, a warning needs your written reason",
  params: courseId,
  body: z.strictObject({
    overrides: z.array(override).max(20).default([]),
    noteToYard: prose(2000).optional(),
  }),
  response: course,
});
export const reviewCourse = operation({
  id: "reviewCourse",
  method: "POST",
  path: "/courses/:courseId/review",
  tag: "medication",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary: "Review a running course: carry on to a new review date",
  params: courseId,
  body: z.strictObject({ reviewOn: localDate, reason: prose(1000) }),
  response: course,
});
const byMinutes = z.int().min(1).max(720);
export const judgeCourseShift = operation({
  id: "judgeCourseShift",
  method: "POST",
  path: "/courses/:courseId/shift-checks",
  tag: "medication",
  access: ["vet"],
  status: 200,
  computes: true,
  summary:
    "What giving the doses to come later would do; without minutes, as much as the last dose was late",
  params: courseId,
  body: z.strictObject({ byMinutes: byMinutes.optional() }),
  response: z.object({
    byMinutes: z.int(),
    offeredMinutes: z
      .int()
      .describe("lateness of the last dose, rounded up; 0 when it was on time"),
    allowed: z.boolean(),
    findings: z.array(finding),
    before: z.array(instant),
    after: z.array(instant),
  }),
});
export const shiftCourse = operation({
  id: "shiftCourse",
  method: "POST",
  path: "/courses/:courseId/shift",
  tag: "medication",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary: "Sign that the next dose and all after it come later; the limits stay as they are",
  params: courseId,
  body: z.strictObject({ byMinutes, reason: prose(1000) }),
  response: course,
});
export const holdCourse = operation({
  id: "holdCourse",
  method: "POST",
  path: "/courses/:courseId/hold",
  tag: "medication",
  access: ["vet", "carer", "manager"],
  status: 200,
  ifMatch: true,
  summary: "Hold a course at once; only a vet releases it",
  params: courseId,
  body: z.strictObject({ reason: prose(1000) }),
  response: course,
});
export const releaseCourse = operation({
  id: "releaseCourse",
  method: "POST",
  path: "/courses/:courseId/release",
  tag: "medication",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary: "Release a held course",
  params: courseId,
  body: z.strictObject({ reason: prose(1000) }),
  response: course,
});
export const stopCourse = operation({
  id: "stopCourse",
  method: "POST",
  path: "/courses/:courseId/stop",
  tag: "medication",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Stop a course",
  params: courseId,
  body: z.strictObject({ reason: prose(1000) }),
  response: course,
});

const batch = line(60).optional().describe("batch number on the pack");
const alreadyGiven = z
  .boolean()
  .default(false)
  .describe(
    "it is inside the horse: written down and counted although a rule forbids it; needs a reason, and the vet is told",
  );
const hasItsReason = (input: {
  readonly alreadyGiven: boolean;
  readonly reason?: string | undefined;
}): boolean => !input.alreadyGiven || input.reason !== undefined;
const WITHOUT_REASON = { message: "needs a reason: say why it was given", path: ["alreadyGiven"] };
export const doseRecord = z
  .object({
    id,
    horseId: id,
    courseId: id.nullable(),
    drugName: z.string(),
    route: z.string(),
    doseMg: z.number(),
    outcome: doseOutcome,
    scheduledAt: instant.nullable(),
    givenAt: instant,
    receivedAt: instant,
    givenBy: personRef,
    batch: z.string().nullable(),
    reason: z.string().nullable(),
    findings: z.array(finding),
  })
  .meta({ id: "DoseRecord" });
export type DoseRecord = z.infer<typeof doseRecord>;
export const recordDose = operation({
  id: "recordDose",
  method: "POST",
  path: "/courses/:courseId/doses",
  tag: "medication",
  access: ["carer", "vet"],
  status: 201,
  summary: "Record a scheduled dose: given, refused, spat out or not given",
  params: courseId,
  body: z
    .strictObject({
      scheduledAt: instant,
      givenAt: instant,
      outcome: doseOutcome,
      batch,
      reason: prose(500).optional(),
      alreadyGiven,
    })
    .refine((input) => input.outcome === "given" || input.reason !== undefined, {
      message: "say why it was not given",
      path: ["reason"],
    })
    .refine(hasItsReason, WITHOUT_REASON),
  response: doseRecord,
});
export const recordSingleDose = operation({
  id: "recordSingleDose",
  method: "POST",
  path: "/horses/:horseId/doses",
  tag: "medication",
  access: ["vet"],
  status: 201,
  summary: "Record a dose a vet gave outside a course, by any route",
  params: horseId,
  body: z
    .strictObject({
      drugKey: line(60),
      route: medicineRoute,
      doseMg: quantity(0.01, 100000),
      givenAt: instant,
      presentationKey: line(60).optional(),
      batch,
      reason: prose(500).optional(),
      overrides: z.array(override).max(10).default([]),
      alreadyGiven,
    })
    .refine(hasItsReason, WITHOUT_REASON),
  response: doseRecord,
});
export const listDoses = operation({
  id: "listDoses",
  method: "GET",
  path: "/horses/:horseId/doses",
  tag: "medication",
  access: ["vet", "manager", "carer"],
  status: 200,
  summary: "Doses, latest first",
  params: horseId,
  query: page,
  response: pageOf(doseRecord),
});
const plannedDose = z.object({
  courseId: id,
  drugName: z.string(),
  scheduledAt: instant,
  doseMg: z.number(),
  measure: z.string(),
});
export const readLedger = operation({
  id: "readLedger",
  method: "GET",
  path: "/horses/:horseId/dose-ledger",
  tag: "medication",
  access: ["vet", "carer"],
  status: 200,
  summary: "How much of each active moiety in the last 24 and 48 hours, and what is next",
  params: horseId,
  response: z.object({
    weightKg: z.number().nullable(),
    totals: z.array(
      z.object({
        moiety: z.string(),
        name: z.string(),
        last24hMg: z.number(),
        last24hMgPerKg: z.number().nullable(),
        last48hMg: z.number(),
        last48hMgPerKg: z.number().nullable(),
        courseDay: z.int().describe("day of this run of treatment"),
        shareOfLimit: z.number().nullable().describe("1 is exactly the limit in force"),
      }),
    ),
    next: z.array(plannedDose),
    late: z.array(plannedDose),
    missedTwice: z.array(z.object({ courseId: id, drugName: z.string(), doses: z.int() })),
  }),
});
export const requestDose = operation({
  id: "requestDose",
  method: "POST",
  path: "/horses/:horseId/dose-requests",
  tag: "medication",
  access: ["vet", "carer", "manager"],
  status: 201,
  summary: "Keep a wish for more or other medicine with the arithmetic; it is never a dose",
  params: horseId,
  body: z.strictObject({
    drugKey: line(60),
    doseMg: quantity(0.01, 100000),
    timesPerDay: z.int().min(1).max(6),
    askedBy: line(120),
    words: prose(500).optional(),
  }),
  response: z.object({
    id,
    requestedAt: instant,
    refused: z.boolean(),
    findings: z.array(finding),
    mgPerKgPerDay: z.number().nullable(),
    percentOfLimit: z.number().nullable(),
  }),
});
export const listRefusedRequests = operation({
  id: "listRefusedRequests",
  method: "GET",
  path: "/horses/:horseId/refused-requests",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  summary: "What was asked for and refused, with the reason",
  params: horseId,
  query: page,
  response: pageOf(
    z.object({
      id,
      kind: z.string(),
      requestedAt: instant,
      requestedBy: personRef,
      request: json,
      findings: z.array(finding),
    }),
  ),
});
export const careItem = z
  .object({
    courseId: id,
    horse: z.object({ id, name: z.string() }),
    drugName: z.string(),
    measure: z.string().describe("what the yard measures, such as 2 sachets"),
    doseMg: z.number(),
    route: z.string(),
    scheduledAt: instant,
    state: z.enum([
      "due",
      "late",
      "later",
      "given",
      "refused",
      "spat out",
      "not given",
      "missed",
      "held",
      "needs vet",
    ]),
    detail: z.string(),
    recordId: id.nullable(),
  })
  .meta({ id: "CareItem" });
export const readCareDay = operation({
  id: "readCareDay",
  method: "GET",
  path: "/care-days/:date",
  tag: "medication",
  access: ["carer", "vet", "manager"],
  status: 200,
  summary: "A yard's doses and checks of a day, by time",
  params: z.strictObject({ date: localDate }),
  query: z.strictObject({ yardId: id.optional() }),
  response: z.object({
    date: localDate,
    vetPhone: z.string().nullable(),
    doses: z.array(careItem),
    checks: z.array(
      z.object({
        horse: z.object({ id, name: z.string() }),
        caseId: id,
        lastCheckAt: instant.nullable(),
        lastScore: z.number().nullable(),
        due: z.boolean(),
      }),
    ),
    firstAid: z.array(
      z.object({
        sheetId: id,
        horse: z.object({ id, name: z.string() }),
        open: z.int(),
        total: z.int(),
      }),
    ),
  }),
});
export type CareDay = z.infer<typeof readCareDay.response>;

const labReference = z.object({
  place: z.string(),
  assay: z.string(),
  season: z.string(),
  low: z.number(),
  high: z.number(),
  unit: z.string(),
  source,
});
export const labResult = z
  .object({
    id,
    horseId: id,
    caseId: id.nullable(),
    takenOn: localDate,
    test: z.string(),
    value: z.number(),
    unit: z.string(),
    assay: z.string().nullable(),
    laboratory: z.string().nullable(),
    rangeLow: z.number().nullable(),
    rangeHigh: z.number().nullable(),
    cutoff: z.number().nullable(),
    feeding: z.string().nullable(),
    protocol: z.string().nullable(),
    minute: z.number().nullable(),
    reference: labReference
      .nullable()
      .describe("the cut-offs it was read against, as they held for that season, place and method"),
    reading: z.string().nullable(),
    note: z.string().nullable(),
    findings: z.array(finding),
    addedBy: personRef,
    readBy: personRef.nullable(),
    readAt: instant.nullable(),
    releasedAt: instant.nullable(),
    version,
  })
  .meta({ id: "LabResult" });
export type LabResult = z.infer<typeof labResult>;
export const listLabResults = operation({
  id: "listLabResults",
  method: "GET",
  path: "/horses/:horseId/lab-results",
  tag: "laboratory",
  access: ["vet"],
  status: 200,
  summary: "Laboratory results, latest first",
  params: horseId,
  query: page,
  response: pageOf(labResult),
});
export const addLabResult = operation({
  id: "addLabResult",
  method: "POST",
  path: "/horses/:horseId/lab-results",
  tag: "laboratory",
  access: ["vet", "manager"],
  status: 201,
  summary: "Enter a laboratory result with the laboratory's own range",
  params: horseId,
  body: z.strictObject({
    takenOn: localDate,
    test: z.enum([
      "insulin",
      "ACTH",
      "glucose",
      "triglycerides",
      "total protein",
      "albumin",
      "creatinine",
      "urea",
      "GGT",
      "GLDH",
      "bile acids",
      "haematocrit",
      "urine specific gravity",
      "beta-hydroxybutyrate",
      "lactate",
      "white cells",
    ]),
    value: quantity(0, 100000),
    unit: line(30),
    assay: line(120).optional(),
    laboratory: line(120).optional(),
    rangeLow: quantity(0, 100000).optional(),
    rangeHigh: quantity(0, 100000).optional(),
    cutoff: quantity(0, 100000).optional(),
    feeding: z
      .enum(["hay only", "fasted", "hard feed", "not known"])
      .optional()
      .describe("what it ate before the sample; insulin is read on hay only"),
    protocol: z
      .enum([
        "syrup 0.15 mL/kg",
        "syrup 0.3 mL/kg",
        "syrup 0.45 mL/kg",
        "pellets 0.5 g/kg",
        "in-feed glucose 1 g/kg",
        "TRH stimulation",
      ])
      .optional()
      .describe("dynamic test the sample belongs to; left out for a plain sample"),
    minute: z.int().min(0).max(300).optional().describe("minutes after the sugar or the TRH"),
    note: prose(1000).optional(),
  }),
  response: labResult.extend({
    heldCourseIds: z.array(id).describe("anti-inflammatories held at once by this result"),
  }),
});
export const readLabResult = operation({
  id: "readLabResult",
  method: "POST",
  path: "/lab-results/:resultId/reading",
  tag: "laboratory",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "A vet has read it; released results are shown to the owner",
  params: z.strictObject({ resultId: id }),
  body: z.strictObject({
    release: z.boolean(),
    words: prose(1000).optional().describe("plain words for the owner"),
  }),
  response: labResult,
});
