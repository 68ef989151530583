import { z } from "zod";
import { operation } from "./operation.ts";
import { finding, foot, id, instant, line, personRef, prose, version } from "./primitives.ts";

const params = z.strictObject({ procedureId: id });
const readers = ["vet", "farrier", "manager"] as const;

/** Opening of the wall or sole: veterinary surgery. Anyone on the case may ask; only a vet signs and does it. */
export const procedure = z
  .object({
    id,
    horseId: id,
    caseId: id,
    foot,
    kind: z.enum(["drainage", "resection"]),
    reason: z.string(),
    radiographId: id.nullable(),
    outlineId: id.nullable(),
    status: z.enum(["requested", "signed", "done", "declined"]),
    requestedBy: personRef,
    requestedAt: instant,
    findings: z.array(finding),
    aftercare: z.array(z.string()),
    aftercareDays: z.array(z.int()).describe("days after it was done on which each line is due"),
    photoIds: z.array(id),
    consent: z.object({ by: z.string(), text: z.string(), at: instant }).nullable(),
    signedBy: personRef.nullable(),
    signedAt: instant.nullable(),
    signature: z.string().nullable(),
    signedText: z.string().nullable(),
    signingKeyId: id.nullable(),
    doneBy: personRef.nullable(),
    doneAt: instant.nullable(),
    found: z.string().nullable(),
    declinedReason: z.string().nullable(),
    version,
  })
  .meta({ id: "Procedure" });
export type Procedure = z.infer<typeof procedure>;

export const listProcedures = operation({
  id: "listProcedures",
  method: "GET",
  path: "/cases/:caseId/procedures",
  tag: "procedures",
  access: readers,
  status: 200,
  summary: "Drainages and resections of a case, newest first",
  params: z.strictObject({ caseId: id }),
  response: z.object({ items: z.array(procedure) }),
});
export const requestProcedure = operation({
  id: "requestProcedure",
  method: "POST",
  path: "/cases/:caseId/procedures",
  tag: "procedures",
  access: ["vet", "farrier"],
  status: 201,
  summary: "Ask for drainage or resection, tied to an outlined shadow where there is one",
  params: z.strictObject({ caseId: id }),
  body: z.strictObject({
    foot,
    kind: procedure.shape.kind,
    reason: prose(1000),
    outlineId: id.optional(),
  }),
  response: procedure,
});
export const signProcedure = operation({
  id: "signProcedure",
  method: "POST",
  path: "/procedures/:procedureId/signature",
  tag: "procedures",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary: "Order the procedure with the owner's consent and the aftercare; a vet only",
  params,
  body: z.strictObject({
    consent: z.strictObject({
      by: line(120).describe("who consented"),
      text: prose(2000).describe("what was explained: risks, cost, other ways"),
      at: instant,
    }),
    aftercare: z.array(line(200)).min(1).max(10).describe("what the yard does and when"),
    aftercareDays: z
      .array(z.int().min(0).max(90))
      .max(10)
      .default([])
      .describe("days after it was done on which each line is due; 1 where left out"),
  }),
  response: procedure,
});
export const recordProcedure = operation({
  id: "recordProcedure",
  method: "POST",
  path: "/procedures/:procedureId/outcome",
  tag: "procedures",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Record that it was done and what was found; the aftercare goes to yard and farrier",
  params,
  body: z.strictObject({
    doneAt: instant,
    found: prose(2000),
    photoIds: z.array(id).max(10).default([]),
  }),
  response: procedure,
});
export const declineProcedure = operation({
  id: "declineProcedure",
  method: "POST",
  path: "/procedures/:procedureId/decline",
  tag: "procedures",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Decide against it, with the reason",
  params,
  body: z.strictObject({ reason: prose(1000) }),
  response: procedure,
});
