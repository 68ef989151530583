import { z } from "zod";
import { operation } from "./operation.ts";
import { id, prose } from "./primitives.ts";
import { person } from "./session.ts";

const offices = ["vet", "manager"] as const;
const bytes = z.string().describe("bytes");

export const exportCase = operation({
  id: "exportCase",
  method: "GET",
  path: "/cases/:caseId/archive",
  tag: "exports",
  access: offices,
  status: 200,
  summary:
    "The whole case as one archive: every row, films and papers as they came, signatures, the log of the horse",
  params: z.strictObject({ caseId: id }),
  response: bytes,
  produces: "application/zip",
});
export const exportPractice = operation({
  id: "exportPractice",
  method: "GET",
  path: "/practice/archive",
  tag: "exports",
  access: ["manager"],
  status: 200,
  summary: "Everything the practice has on record, in open formats; it restores into an empty copy",
  response: bytes,
  produces: "application/zip",
});

const ofLog = z.strictObject({ horseId: id.optional() });
export const exportAuditLines = operation({
  id: "exportAuditLines",
  method: "GET",
  path: "/audit/lines",
  tag: "audit",
  access: offices,
  status: 200,
  summary:
    "The log as JSON Lines, oldest first: each entry with its hashes, old value, author and time",
  query: ofLog,
  response: bytes,
  produces: "application/jsonl",
});
export const exportAuditTable = operation({
  id: "exportAuditTable",
  method: "GET",
  path: "/audit/table",
  tag: "audit",
  access: offices,
  status: 200,
  summary: "The log as a table for spreadsheets, oldest first: old and new value, author and time",
  query: ofLog,
  response: bytes,
  produces: "text/csv; charset=utf-8",
});

export const erasePerson = operation({
  id: "erasePerson",
  method: "POST",
  path: "/people/:personId/erasure",
  tag: "people",
  access: ["manager"],
  status: 200,
  ifMatch: true,
  stepUp: true,
  summary: "Take a person's own data out of the record, as far as the clinical record may lose it",
  params: z.strictObject({ personId: id }),
  body: z.strictObject({ reason: prose(400) }),
  response: z.object({
    person,
    erased: z.array(z.string()).describe("what is gone, in plain words"),
    kept: z
      .array(z.object({ what: z.string(), why: z.string() }))
      .describe("what stays, and the reason"),
  }),
});
