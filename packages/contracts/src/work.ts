import { z } from "zod";
import { caseView, documentView, examination, firstAidSheet, timelineEvent } from "./cases.ts";
import { horse, weighing } from "./horses.ts";
import { course, labResult } from "./medication.ts";
import { operation } from "./operation.ts";
import { planCost, prescription, shoeingRecord } from "./prescriptions.ts";
import {
  id,
  instant,
  json,
  line,
  localDate,
  page,
  pageOf,
  personRef,
  prose,
  role,
  source,
  version,
} from "./primitives.ts";
import { landmarkSet, radiograph } from "./radiographs.ts";
import { reset } from "./resets.ts";

const staff = ["vet", "farrier", "manager", "carer"] as const;

export const handoffNote = z
  .object({
    id,
    horse: z.object({ id, name: z.string() }),
    caseId: id.nullable(),
    cause: z.string(),
    fromPerson: personRef,
    fromRole: role,
    toRole: role,
    toPerson: personRef.nullable(),
    urgent: z.boolean(),
    situation: z.string(),
    found: z.string().nullable(),
    done: z.string().nullable(),
    mustDo: z.string(),
    byWhen: z.string().nullable(),
    callMeIf: z.string().nullable(),
    writtenAt: instant,
    happenedAt: instant.nullable().describe("when it was written, where it arrived later"),
    acknowledgeBy: instant,
    state: z.enum(["open", "escalated", "acknowledged"]),
    escalatedAt: instant.nullable(),
    acknowledgedBy: personRef.nullable(),
    acknowledgedAt: instant.nullable(),
    answer: z.string().nullable(),
    refType: z.string().nullable(),
    refId: id.nullable(),
    version,
  })
  .meta({ id: "HandoffNote" });
export type HandoffNote = z.infer<typeof handoffNote>;
export const listHandoffNotes = operation({
  id: "listHandoffNotes",
  method: "GET",
  path: "/handoff-notes",
  tag: "handoffs",
  access: staff,
  status: 200,
  summary: "Handoff notes to or from your role, newest first",
  query: page.extend({ state: z.enum(["open", "acknowledged"]).optional(), caseId: id.optional() }),
  response: pageOf(handoffNote),
});
export const writeHandoffNote = operation({
  id: "writeHandoffNote",
  method: "POST",
  path: "/handoff-notes",
  tag: "handoffs",
  access: staff,
  status: 201,
  summary: "Write a note to another role about one horse",
  body: z.strictObject({
    horseId: id,
    toRole: z.enum(["vet", "farrier", "manager", "carer"]),
    toPersonId: id.optional(),
    urgent: z.boolean().default(false),
    situation: prose(200),
    found: prose(400).optional(),
    done: prose(400).optional(),
    mustDo: prose(400),
    byWhen: line(100).optional(),
    callMeIf: prose(200).optional(),
  }),
  response: handoffNote,
});
export const acknowledgeNote = operation({
  id: "acknowledgeNote",
  method: "POST",
  path: "/handoff-notes/:noteId/acknowledgement",
  tag: "handoffs",
  access: staff,
  status: 200,
  ifMatch: true,
  summary: "Say that you have read it and will act",
  params: z.strictObject({ noteId: id }),
  body: z.strictObject({ answer: prose(1000).optional() }),
  response: handoffNote,
});

export const queueItem = z
  .object({
    id: z.string(),
    kind: z.string(),
    horse: z.object({ id, name: z.string() }).nullable(),
    yard: z.string().nullable(),
    caseId: id.nullable(),
    title: z.string(),
    reason: z.string().describe("why it stands where it stands"),
    urgency: z.enum(["now", "today", "soon", "later"]),
    dueAt: instant.nullable(),
    nextAction: z.object({ key: z.string(), label: z.string(), href: z.string() }),
    refType: z.string().nullable(),
    refId: id.nullable(),
  })
  .meta({ id: "QueueItem" });
export type QueueItem = z.infer<typeof queueItem>;
export const readQueue = operation({
  id: "readQueue",
  method: "GET",
  path: "/queue",
  tag: "queue",
  access: staff,
  status: 200,
  summary: "Your queue, in the order it should be worked",
  query: z.strictObject({ role: role.optional() }),
  response: z.object({
    role,
    at: instant,
    items: z.array(queueItem),
    counts: z.record(z.string(), z.int()),
  }),
});
export type QueueView = z.infer<typeof readQueue.response>;

export const caseFile = z
  .object({
    case: caseView,
    horse,
    examinations: z.array(examination),
    firstAidSheets: z.array(firstAidSheet),
    radiographs: z.array(radiograph.extend({ latestSet: landmarkSet.nullable() })),
    prescriptions: z.array(prescription),
    shoeingRecords: z.array(shoeingRecord),
    reset: reset.nullable(),
    courses: z.array(course).describe("empty for a farrier"),
    medicineNames: z.array(z.string()).describe("what is running, by name"),
    labResults: z.array(labResult),
    weighings: z.array(weighing),
    notes: z.array(handoffNote),
    documents: z.array(documentView),
    timeline: z.array(timelineEvent),
    cautions: z.array(z.string()),
  })
  .meta({ id: "CaseFile" });
export type CaseFile = z.infer<typeof caseFile>;
export const readCaseFile = operation({
  id: "readCaseFile",
  method: "GET",
  path: "/cases/:caseId/file",
  tag: "cases",
  access: staff,
  status: 200,
  summary: "The whole case on one page, as far as your role may see it",
  params: z.strictObject({ caseId: id }),
  response: caseFile,
});

export const searchHit = z
  .object({
    kind: z.enum(["horse", "yard", "person", "case"]),
    id,
    title: z.string(),
    detail: z.string(),
    href: z.string(),
  })
  .meta({ id: "SearchHit" });
export const search = operation({
  id: "search",
  method: "GET",
  path: "/search",
  tag: "search",
  access: staff,
  status: 200,
  summary: "Find a horse, owner, yard, number or chip",
  query: z.strictObject({ q: line(100) }),
  response: z.object({ items: z.array(searchHit) }),
});

export const auditEntry = z
  .object({
    sequence: z.int(),
    at: instant,
    event: z.string(),
    actor: personRef.nullable(),
    subjectType: z.string(),
    subjectId: id.nullable(),
    horseId: id.nullable(),
    hash: z.string(),
    previousHash: z.string(),
    entry: json,
  })
  .meta({ id: "AuditEntry" });
export const listAudit = operation({
  id: "listAudit",
  method: "GET",
  path: "/audit",
  tag: "audit",
  access: ["vet", "manager"],
  status: 200,
  summary: "Who did what, newest first",
  query: page.extend({
    horseId: id.optional(),
    subjectType: line(40).optional(),
    subjectId: id.optional(),
  }),
  response: pageOf(auditEntry),
});
export const verifyAudit = operation({
  id: "verifyAudit",
  method: "GET",
  path: "/audit/verification",
  tag: "audit",
  access: ["vet", "manager"],
  status: 200,
  summary: "Walk the whole chain and every signature",
  response: z.object({
    entries: z.int(),
    signatures: z.int(),
    rows: z.int().describe("rows of the clinical record that were compared with the log"),
    unsealedRows: z.int().describe("rows written before the log kept hashes of rows"),
    isWhole: z.boolean(),
    head: z
      .object({ sequence: z.int(), hash: z.string() })
      .nullable()
      .describe(
        "the newest entry; noted elsewhere, it shows a log that was rewritten from end to end",
      ),
    faults: z.array(z.object({ sequence: z.int().nullable(), what: z.string() })),
  }),
});

export const settingView = z
  .object({
    key: z.string(),
    value: json,
    unit: z.string(),
    label: z.string(),
    source,
    since: localDate,
    change: z.enum(["free", "tighten", "fixed"]),
    standard: json.describe("the value every practice starts with"),
    stricter: z
      .enum(["lower", "higher"])
      .nullable()
      .describe("which way a figure may go that can only be tightened"),
    history: z.array(
      z.object({ value: json, since: localDate, source: z.string(), setBy: personRef.nullable() }),
    ),
  })
  .meta({ id: "Setting" });
export const listSettings = operation({
  id: "listSettings",
  method: "GET",
  path: "/settings",
  tag: "settings",
  access: ["vet", "manager"],
  status: 200,
  summary: "Figures the practice may change, each dated and with its source",
  response: z.object({ items: z.array(settingView) }),
});
export const changeSetting = operation({
  id: "changeSetting",
  method: "POST",
  path: "/settings",
  tag: "settings",
  access: ["vet"],
  status: 201,
  stepUp: true,
  summary: "Set a figure from a date on; the old one keeps its dates. Clinical lead only",
  body: z.strictObject({ key: line(100), value: z.number(), since: localDate, source: prose(500) }),
  response: settingView,
});

export const ownerPrescription = z
  .object({
    id,
    signedAt: instant.nullable().describe("null while the vet waits for your answer"),
    version,
    aim: z.string(),
    inPlainWords: z.array(z.string()),
    intervalDays: z.int(),
    cost: planCost.nullable(),
    consent: z.object({ at: instant, by: personRef }).nullable(),
  })
  .meta({ id: "OwnerPrescription" });
export const ownerHorse = z
  .object({
    horse: z.object({ id, name: z.string(), type: z.string(), yard: z.string() }),
    caseId: id.nullable(),
    headline: z.string(),
    paragraphs: z.array(z.string()),
    comfort: z.array(z.object({ on: localDate, score: z.number() })),
    weights: z.array(z.object({ on: localDate, weightKg: z.number() })),
    next: z.array(z.object({ what: z.string(), on: localDate, who: z.string().nullable() })),
    plan: ownerPrescription.nullable(),
    asked: ownerPrescription
      .nullable()
      .describe("a plan the vet asks you about before it is signed"),
    medicines: z.array(
      z.object({
        name: z.string(),
        howMuch: z.string(),
        until: localDate.nullable(),
        watchFor: z.string(),
      }),
    ),
    released: z.array(
      z.object({
        on: localDate,
        what: z.string(),
        words: z.string(),
        documentId: id.nullable().describe("the paper itself, where there is one"),
      }),
    ),
    callNowIf: z.array(z.string()),
    pictures: z.array(z.object({ documentId: id, caption: z.string().nullable(), on: localDate })),
    notKnownYet: z.array(z.string()),
    isClosed: z.boolean(),
    glossary: z.array(z.object({ word: z.string(), trade: z.string(), meaning: z.string() })),
    questions: z
      .array(
        z.object({
          askedAt: instant,
          question: z.string(),
          readBy: z.string().nullable(),
          readAt: instant.nullable(),
        }),
      )
      .describe("what you asked, and who has read it"),
    practicePhone: z.string().nullable(),
  })
  .meta({ id: "OwnerHorse" });
export type OwnerHorse = z.infer<typeof ownerHorse>;
export const listOwnHorses = operation({
  id: "listOwnHorses",
  method: "GET",
  path: "/portal/horses",
  tag: "portal",
  access: ["owner"],
  status: 200,
  summary: "Your horses",
  response: z.object({
    items: z.array(
      z.object({
        id,
        name: z.string(),
        yard: z.string(),
        headline: z.string(),
        nextOn: localDate.nullable(),
      }),
    ),
  }),
});
export const readOwnHorse = operation({
  id: "readOwnHorse",
  method: "GET",
  path: "/portal/horses/:horseId",
  tag: "portal",
  access: ["owner"],
  status: 200,
  summary: "Your horse in plain words; released items only",
  params: z.strictObject({ horseId: id }),
  response: ownerHorse,
});
export const askPractice = operation({
  id: "askPractice",
  method: "POST",
  path: "/portal/horses/:horseId/questions",
  tag: "portal",
  access: ["owner"],
  status: 201,
  summary: "Ask the practice a question; it becomes a note with a name on it",
  params: z.strictObject({ horseId: id }),
  body: z.strictObject({ question: prose(2000) }),
  response: z.object({ id, askedAt: instant }),
});
export const consentToPlan = operation({
  id: "consentToPlan",
  method: "POST",
  path: "/portal/prescriptions/:prescriptionId/consent",
  tag: "portal",
  access: ["owner"],
  status: 201,
  summary: "Agree to the plan",
  params: z.strictObject({ prescriptionId: id }),
  body: z.strictObject({
    agrees: z.literal(true),
    words: prose(500).optional(),
    seenVersion: version
      .optional()
      .describe("of the plan as you read it; needed before it is signed"),
  }),
  response: ownerPrescription,
});
