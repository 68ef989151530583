import { z } from "zod";
import { course } from "./medication.ts";
import { operation } from "./operation.ts";
import { prescription } from "./prescriptions.ts";
import { foot, id, instant } from "./primitives.ts";
import { procedure } from "./procedures.ts";
import { queueItem } from "./work.ts";

export const boardRow = z
  .object({
    caseId: id,
    number: z.int(),
    phase: z.string(),
    horse: z.object({ id, name: z.string() }),
    yard: z.string(),
    urgency: queueItem.shape.urgency.nullable().describe("of the next decision; null: none waits"),
    next: queueItem.nullable().describe("the first of this case in your queue"),
    waiting: z.int().describe("lines of this case in your queue, the next one among them"),
    lastVisitAt: instant.nullable().describe("when a vet last examined the horse"),
    changes: z
      .array(z.object({ at: instant, title: z.string(), detail: z.string().nullable() }))
      .describe("newest first, the first few since that visit"),
    changeCount: z.int(),
    score: z
      .object({ before: z.int().nullable(), now: z.int(), at: instant })
      .nullable()
      .describe("newest five-sign score since the visit, and the one then"),
  })
  .meta({ id: "MorningBoardRow" });
export type BoardRow = z.infer<typeof boardRow>;
export const readMorningBoard = operation({
  id: "readMorningBoard",
  method: "GET",
  path: "/morning-board",
  tag: "queue",
  access: ["vet"],
  status: 200,
  summary:
    "Every open case once, in the order of your queue: what changed since the last visit and the next decision",
  response: z.object({
    at: instant,
    items: z.array(boardRow),
    withoutCase: z.int().describe("lines of your queue that belong to no open case"),
  }),
});
export type MorningBoard = z.infer<typeof readMorningBoard.response>;

const drafted = { yard: z.string(), draftedAt: instant };
export const listDrafts = operation({
  id: "listDrafts",
  method: "GET",
  path: "/drafts",
  tag: "queue",
  access: ["vet"],
  status: 200,
  summary:
    "Everything that waits for a vet's signature, in full, judged as of now; each is signed by its own operation",
  response: z.object({
    at: instant,
    plans: z.array(
      z.object({
        ...drafted,
        plan: prescription.describe("with what the rules say now, not when it was drafted"),
        films: z.array(
          z.object({ id, foot, view: z.string(), takenAt: instant, ageDays: z.int() }),
        ),
      }),
    ),
    courses: z.array(
      z.object({
        ...drafted,
        course: course.describe("with the plan and what the rules say now"),
        weightAgeDays: z.int().nullable(),
      }),
    ),
    orders: z.array(
      z.object({ yard: z.string(), horse: z.object({ id, name: z.string() }), order: procedure }),
    ),
  }),
});
export type Drafts = z.infer<typeof listDrafts.response>;
