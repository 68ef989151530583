import { CLOSING_REASONS, PHASES } from "@heelward/domain/cases";
import { DIGITAL_PULSES, HOOF_HEATS, RED_FLAG_SIGNS } from "@heelward/domain/examination";
import { BEDDINGS, FLOORS, WATER_POSITIONS } from "@heelward/domain/firstaid";
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
  page,
  pageOf,
  personRef,
  phone,
  prose,
  source,
  quantity,
  role,
  version,
} from "./primitives.ts";

export const phase = z.enum(PHASES);
export const closeReason = z.enum(CLOSING_REASONS);
const staff = ["vet", "farrier", "manager", "carer"] as const;
const caseId = z.strictObject({ caseId: id });

export const caseItem = z
  .object({
    id,
    number: z.int(),
    horse: z.object({ id, name: z.string(), type: z.string() }),
    yard: z.object({ id, name: z.string() }),
    phase,
    phaseSince: instant,
    cause: z.string().nullable(),
    openedAt: instant,
    closedAt: instant.nullable(),
    leadVet: personRef.nullable(),
    farrier: personRef.nullable(),
    dueOn: localDate.nullable(),
    version,
  })
  .meta({ id: "CaseItem" });
export type CaseItem = z.infer<typeof caseItem>;

export const caseView = caseItem
  .extend({
    causeConfidence: z.enum(["suspected", "likely", "confirmed"]).nullable(),
    onsetAt: instant.nullable(),
    displacedAt: instant.nullable(),
    soundWithoutReliefSince: localDate.nullable(),
    feetAffected: z.array(foot),
    summary: z.string().nullable(),
    closeReason: closeReason.nullable(),
    closeNote: z.string().nullable(),
  })
  .meta({ id: "Case" });
export type CaseView = z.infer<typeof caseView>;

export const listCases = operation({
  id: "listCases",
  method: "GET",
  path: "/cases",
  tag: "cases",
  access: staff,
  status: 200,
  summary: "Cases, newest first",
  query: page.extend({
    phase: phase.optional(),
    open: z.enum(["true", "false"]).optional(),
    horseId: id.optional(),
    yardId: id.optional(),
    q: line(100).optional(),
  }),
  response: pageOf(caseItem),
});
export const readCase = operation({
  id: "readCase",
  method: "GET",
  path: "/cases/:caseId",
  tag: "cases",
  access: staff,
  status: 200,
  summary: "One case",
  params: caseId,
  response: caseView,
});
export const openCase = operation({
  id: "openCase",
  method: "POST",
  path: "/cases",
  tag: "cases",
  access: ["vet", "manager"],
  status: 201,
  summary: "Open a case without a phone call",
  body: z.strictObject({
    horseId: id,
    phase: z.enum(["acute", "subacute", "chronic active", "maintenance"]),
    onsetAt: instant.optional(),
    cause: line(200).optional(),
    feetAffected: z.array(foot).max(4).default([]),
    leadVetId: id.optional(),
  }),
  response: caseView,
});
export const changeCase = operation({
  id: "changeCase",
  method: "PATCH",
  path: "/cases/:caseId",
  tag: "cases",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Change what is known of a case",
  params: caseId,
  body: z
    .strictObject({
      cause: line(200).nullable(),
      causeConfidence: z.enum(["suspected", "likely", "confirmed"]).nullable(),
      onsetAt: instant.nullable(),
      displacedAt: instant.nullable(),
      soundWithoutReliefSince: localDate.nullable(),
      feetAffected: z.array(foot).max(4),
      summary: prose(4000).nullable(),
      leadVetId: id.nullable(),
    })
    .partial(),
  response: caseView,
});
export const changePhase = operation({
  id: "changePhase",
  method: "POST",
  path: "/cases/:caseId/phase",
  tag: "cases",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Move a case to another phase; the note to those who act on it goes with it",
  params: caseId,
  body: z.strictObject({
    phase: z.enum(["acute", "subacute", "chronic active", "maintenance"]),
    reason: prose(1000),
    noteTo: role.default("farrier"),
    mustDo: prose(1000),
  }),
  response: caseView,
});
export const closeCase = operation({
  id: "closeCase",
  method: "POST",
  path: "/cases/:caseId/closure",
  tag: "cases",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary: "Close a case: messages stop, the record stays readable",
  params: caseId,
  body: z.strictObject({
    reason: closeReason,
    note: prose(4000),
    welfareTalk: prose(4000)
      .optional()
      .describe("what was said with the owner; needed for a welfare decision"),
    recoveryExaminationId: id.optional().describe("the examination that shows recovery"),
    recordsSentTo: line(200).optional(),
    farrierToldById: id.optional().describe("the person who tells the farrier; a machine does not"),
    carerToldById: id.optional(),
  }),
  response: caseView,
});

export const timelineEvent = z
  .object({
    id,
    at: instant,
    receivedAt: instant,
    kind: z.string(),
    title: z.string(),
    detail: z.string().nullable(),
    person: personRef.nullable(),
    refType: z.string().nullable(),
    refId: id.nullable(),
    data: json,
  })
  .meta({ id: "TimelineEvent" });
export type TimelineEvent = z.infer<typeof timelineEvent>;
export const readTimeline = operation({
  id: "readTimeline",
  method: "GET",
  path: "/cases/:caseId/timeline",
  tag: "cases",
  access: staff,
  status: 200,
  summary: "Everything that happened, newest first",
  params: caseId,
  query: page.extend({ kind: line(40).optional() }),
  response: pageOf(timelineEvent),
});

/** What reception asks, in the order of asking; left out means not known. The first decides alone. */
export const callAnswers = z
  .strictObject({
    canStand: z.boolean(),
    willMove: z.enum(["freely", "stiffly", "only when forced", "not at all"]),
    suddenThreeLeggedLameness: z.boolean(),
    canLiftFrontFoot: z.enum(["easily", "with difficulty", "no"]),
    allFourFeetSore: z.boolean(),
    colicDiarrhoeaOrOffFood: z.boolean(),
    grainBreakIn: z.boolean(),
    hoursSinceFoalingWithoutAfterbirth: quantity(0, 200),
    otherLegInjured: z.boolean(),
    steroidLately: z.boolean(),
    shiftsWeight: z.boolean(),
    leansBack: z.boolean(),
    feetWarm: z.boolean(),
    pulsesStrong: z.boolean(),
    knownInsulinTroubleOrPpid: z.boolean(),
    medicineAlreadyGiven: prose(500),
  })
  .partial()
  .meta({ id: "CallAnswers" });
export const triage = z
  .object({
    urgency: z.enum(["vet now", "vet today", "ask on"]),
    findings: z.array(finding),
    nextQuestion: z.string().nullable(),
    sendFirstAidSheet: z.boolean(),
  })
  .meta({ id: "Triage" });
export const judgePhoneCall = operation({
  id: "judgePhoneCall",
  method: "POST",
  path: "/phone-calls/triage",
  tag: "cases",
  access: ["vet", "manager", "carer"],
  status: 200,
  computes: true,
  summary: "How soon the vet must come, from what has been answered so far; stores nothing",
  body: z.strictObject({ answers: callAnswers }),
  response: triage,
});
export const takePhoneCall = operation({
  id: "takePhoneCall",
  method: "POST",
  path: "/phone-calls",
  tag: "cases",
  access: ["vet", "manager", "carer"],
  status: 201,
  summary:
    "Record the first phone call: opens or continues the case and says how soon the vet must come",
  body: z.strictObject({
    horseId: id,
    caller: line(120),
    callerPhone: phone.optional(),
    calledAt: instant,
    answers: callAnswers,
    feetAffected: z.array(foot).max(4).default([]),
    notes: prose(2000).optional(),
  }),
  response: z.object({ id, case: caseView, triage, calledAt: instant }),
});

const boxFacts = z
  .strictObject({
    widthM: quantity(1, 15),
    lengthM: quantity(1, 15),
    bedding: z.enum(BEDDINGS),
    floor: z.enum(FLOORS),
    water: z.enum(WATER_POSITIONS),
  })
  .meta({ id: "BoxFacts" });
export const firstAidStep = z
  .object({
    id: z.string(),
    text: z.string(),
    why: z.string(),
    checklist: z.boolean(),
    photo: z.boolean(),
    source: z.object({
      id: z.string(),
      citation: z.string(),
      status: z.string(),
      url: z.string().optional(),
    }),
  })
  .meta({ id: "FirstAidStep" });
const disagreement = z.object({
  id: z.string(),
  sides: z.array(z.object({ says: z.string(), source })),
  sheetFollows: z.string(),
});
export const firstAidSheet = z
  .object({
    id,
    caseId: id,
    horse: z.object({ id, name: z.string() }),
    writtenAt: instant,
    writtenBy: personRef,
    steps: z.array(firstAidStep),
    ringAtOnceIf: z.array(z.string()),
    writeDown: z.array(z.string()),
    disagreements: z.array(disagreement),
    caution: z.string(),
    phone: z.string().nullable(),
    ticks: z.array(
      z.object({
        stepId: z.string(),
        doneAt: instant,
        doneBy: personRef,
        photoId: id.nullable(),
        note: z.string().nullable(),
      }),
    ),
    version,
  })
  .meta({ id: "FirstAidSheet" });
export type FirstAidSheet = z.infer<typeof firstAidSheet>;
export const writeFirstAidSheet = operation({
  id: "writeFirstAidSheet",
  method: "POST",
  path: "/cases/:caseId/first-aid-sheets",
  tag: "first aid",
  access: ["vet", "manager", "carer"],
  status: 201,
  summary: "Write the yard's first-aid sheet from grade, weight, feet and box",
  params: caseId,
  body: z.strictObject({
    obelGrade: z.int().min(0).max(4).optional(),
    feetAffected: z.array(foot).min(1).max(4),
    canLiftFeet: z.enum(["easily", "with difficulty", "no", "not tried"]),
    foamAvailable: z.boolean(),
    padsAvailable: z.boolean(),
    outside: z.boolean().describe("the horse is not in its box now"),
    iceOrderedByVet: z.boolean().default(false),
    box: boxFacts.optional(),
  }),
  response: firstAidSheet.extend({
    link: z.string().describe("readable without signing in for 14 days; shown once"),
  }),
});
export const readFirstAidSheet = operation({
  id: "readFirstAidSheet",
  method: "GET",
  path: "/first-aid-sheets/:sheetId",
  tag: "first aid",
  access: staff,
  status: 200,
  summary: "One first-aid sheet with its ticks",
  params: z.strictObject({ sheetId: id }),
  response: firstAidSheet,
});
export const listFirstAidSheets = operation({
  id: "listFirstAidSheets",
  method: "GET",
  path: "/cases/:caseId/first-aid-sheets",
  tag: "first aid",
  access: staff,
  status: 200,
  summary: "First-aid sheets of a case, newest first",
  params: caseId,
  response: z.object({ items: z.array(firstAidSheet) }),
});
export const readSharedFirstAid = operation({
  id: "readSharedFirstAid",
  method: "GET",
  path: "/shared/first-aid/:token",
  tag: "first aid",
  access: "public",
  status: 200,
  summary: "A first-aid sheet by its link, without signing in",
  params: z.strictObject({ token: z.string().min(20).max(100) }),
  response: z.object({
    horseName: z.string(),
    timeZone: z.string().describe("of the yard"),
    writtenAt: instant,
    steps: z.array(firstAidStep),
    ringAtOnceIf: z.array(z.string()),
    writeDown: z.array(z.string()),
    disagreements: z.array(disagreement),
    caution: z.string(),
    phone: z.string().nullable(),
  }),
});
export const tickFirstAid = operation({
  id: "tickFirstAid",
  method: "POST",
  path: "/first-aid-sheets/:sheetId/ticks",
  tag: "first aid",
  access: ["vet", "carer"],
  status: 201,
  summary: "Tick a step as done, with a photo if asked for",
  params: z.strictObject({ sheetId: id }),
  body: z.strictObject({
    stepId: line(60),
    doneAt: instant,
    photoId: id.optional(),
    note: prose(500).optional(),
  }),
  response: firstAidSheet,
});

const perFoot = <T extends z.ZodType>(value: T) =>
  z.strictObject({
    LF: value.optional(),
    RF: value.optional(),
    LH: value.optional(),
    RH: value.optional(),
  });
export const pulse = z.enum(DIGITAL_PULSES);
export const heat = z.enum(HOOF_HEATS);
const examined = {
  obelGrade: z.int().min(0).max(4).nullable(),
  fiveSignScore: z.int().min(0).max(12).nullable(),
  lamenessGrade: z.int().min(0).max(5).nullable(),
  digitalPulses: perFoot(pulse),
  hoofHeat: perFoot(heat),
  heartRatePerMinute: quantity(15, 200).nullable(),
  respirationPerMinute: quantity(4, 150).nullable(),
  temperatureC: quantity(30, 44).nullable(),
  bodyCondition: quantity(1, 9).nullable(),
  crestyNeck: quantity(0, 5).nullable(),
  signs: z.array(z.enum(RED_FLAG_SIGNS as [string, ...string[]])).max(40),
  notes: prose(4000).nullable(),
};
export const examination = z
  .object({
    id,
    horseId: id,
    caseId: id.nullable(),
    kind: z.enum(["examination", "care check"]),
    examinedAt: instant,
    receivedAt: instant,
    examinedBy: personRef,
    ...examined,
    findings: z.array(finding),
    isRedFlag: z.boolean(),
  })
  .meta({ id: "Examination" });
export type Examination = z.infer<typeof examination>;
const examinationBody = {
  obelGrade: examined.obelGrade.default(null),
  fiveSignScore: examined.fiveSignScore.default(null),
  lamenessGrade: examined.lamenessGrade.default(null),
  digitalPulses: examined.digitalPulses.default({}),
  hoofHeat: examined.hoofHeat.default({}),
  heartRatePerMinute: examined.heartRatePerMinute.default(null),
  respirationPerMinute: examined.respirationPerMinute.default(null),
  temperatureC: examined.temperatureC.default(null),
  bodyCondition: examined.bodyCondition.default(null),
  crestyNeck: examined.crestyNeck.default(null),
  signs: examined.signs.default([]),
  notes: examined.notes.default(null),
  examinedAt: instant,
};
export const listExaminations = operation({
  id: "listExaminations",
  method: "GET",
  path: "/horses/:horseId/examinations",
  tag: "examinations",
  access: staff,
  status: 200,
  summary: "Examinations and care checks, latest first",
  params: z.strictObject({ horseId: id }),
  query: page,
  response: pageOf(examination),
});
export const examineHorse = operation({
  id: "examineHorse",
  method: "POST",
  path: "/cases/:caseId/examinations",
  tag: "examinations",
  access: ["vet"],
  status: 201,
  summary: "Record a vet's examination",
  params: caseId,
  body: z.strictObject(examinationBody),
  response: examination,
});
export const checkHorse = operation({
  id: "checkHorse",
  method: "POST",
  path: "/horses/:horseId/care-checks",
  tag: "examinations",
  access: ["vet", "carer", "farrier"],
  status: 201,
  summary: "Record a yard check; a red flag holds running courses and calls the vet",
  params: z.strictObject({ horseId: id }),
  body: z.strictObject(examinationBody),
  response: examination.extend({ heldCourseIds: z.array(id) }),
});

/** The standard set of a visit: from the side, of the sole and from the front, and the shoe. */
export const photoView = z.enum([
  "LF side",
  "RF side",
  "LF sole",
  "RF sole",
  "front",
  "shoe",
  "LH side",
  "RH side",
  "LH sole",
  "RH sole",
]);
export type PhotoView = z.infer<typeof photoView>;

export const documentView = z
  .object({
    id,
    horseId: id,
    caseId: id.nullable(),
    kind: z.enum(["photo", "document", "film picture", "voice note"]),
    photoView: photoView.nullable(),
    fileName: z.string(),
    mediaType: z.string(),
    sha256: z.string(),
    sizeBytes: z.int(),
    takenAt: instant,
    receivedAt: instant,
    addedBy: personRef,
    caption: z.string().nullable(),
    forOwner: z.boolean(),
  })
  .meta({ id: "Document" });
export type DocumentView = z.infer<typeof documentView>;
export const listDocuments = operation({
  id: "listDocuments",
  method: "GET",
  path: "/horses/:horseId/documents",
  tag: "documents",
  access: staff,
  status: 200,
  summary: "Photos and papers, latest first",
  params: z.strictObject({ horseId: id }),
  query: page,
  response: pageOf(documentView),
});
export const addDocument = operation({
  id: "addDocument",
  method: "POST",
  path: "/horses/:horseId/documents",
  tag: "documents",
  access: staff,
  status: 201,
  upload: true,
  summary: "Add a photo (JPEG, PNG), a PDF or a voice note (WebM, MP4, Ogg)",
  params: z.strictObject({ horseId: id }),
  body: z.strictObject({
    id: id.optional().describe("chosen by a device that may have to refer to it before it is sent"),
    kind: z.enum(["photo", "document", "voice note"]),
    photoView: photoView.optional(),
    takenAt: instant,
    caption: prose(500).optional(),
    forOwner: z.enum(["true", "false"]).default("false"),
  }),
  response: documentView,
});
export const readDocumentContent = operation({
  id: "readDocumentContent",
  method: "GET",
  path: "/documents/:documentId/content",
  tag: "documents",
  access: "anyone",
  status: 200,
  summary: "The bytes of a photo or paper",
  params: z.strictObject({ documentId: id }),
  produces: "application/octet-stream",
  response: z.any(),
});
