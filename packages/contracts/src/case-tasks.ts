import { z } from "zod";
import { operation } from "./operation.ts";
import { foot, id, instant, localDate, personRef, prose, role, version } from "./primitives.ts";

const staff = ["vet", "farrier", "manager", "carer"] as const;

/** Something a plan, a visit or a procedure leaves to be done by a day. */
export const caseTask = z
  .object({
    id,
    horseId: id,
    caseId: id,
    kind: z.enum(["film", "aftercare", "heel raise out"]),
    forRole: role,
    foot: foot.nullable(),
    title: z.string(),
    detail: z.string().nullable(),
    opensOn: localDate,
    dueOn: localDate,
    state: z
      .enum(["to come", "due", "late", "done", "set aside"])
      .describe("a film is done once one of that foot was taken on or after the day it opens"),
    refType: z.string(),
    refId: id,
    doneBy: personRef.nullable(),
    doneAt: instant.nullable(),
    outcome: z.string().nullable(),
    photoIds: z.array(id),
    version,
  })
  .meta({ id: "CaseTask" });
export type CaseTask = z.infer<typeof caseTask>;

export const listCaseTasks = operation({
  id: "listCaseTasks",
  method: "GET",
  path: "/cases/:caseId/tasks",
  tag: "cases",
  access: staff,
  status: 200,
  summary: "What plans, visits and procedures of a case left to be done, by due day",
  params: z.strictObject({ caseId: id }),
  response: z.object({ items: z.array(caseTask) }),
});
export const finishCaseTask = operation({
  id: "finishCaseTask",
  method: "POST",
  path: "/case-tasks/:taskId/outcome",
  tag: "cases",
  access: staff,
  status: 200,
  ifMatch: true,
  summary:
    "Say that it was done, with photos and what was seen; a vet may set it aside with a reason",
  params: z.strictObject({ taskId: id }),
  body: z
    .strictObject({
      setAside: z.boolean().default(false),
      outcome: prose(1000).optional(),
      photoIds: z.array(id).max(10).default([]),
    })
    .refine((input) => !input.setAside || input.outcome !== undefined, {
      message: "say why it is set aside",
      path: ["setAside"],
    }),
  response: caseTask,
});
