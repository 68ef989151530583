import { z } from "zod";
import { operation } from "./operation.ts";
import { id } from "./primitives.ts";

export const compareCase = operation({
  id: "compareCase",
  method: "GET",
  path: "/cases/:caseId/similar",
  tag: "cases",
  access: ["vet"],
  status: 200,
  summary:
    "Similar horses in the practice's own records by cause, rotation and founder distance, with how they ended; never below five",
  params: z.strictObject({ caseId: id }),
  response: z.object({
    subject: z
      .object({ cause: z.string(), rotationDegrees: z.number(), founderDistanceMm: z.number() })
      .nullable()
      .describe("null until a cause and a measured side view are on record"),
    steps: z.object({ rotationDegrees: z.number(), founderDistanceMm: z.number() }),
    leastCases: z.int(),
    count: z.int().nullable().describe("null when there are fewer than the least"),
    outcomes: z.array(z.object({ outcome: z.string(), count: z.int() })),
  }),
});
