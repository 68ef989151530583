import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, personRef, prose } from "./primitives.ts";

/** Short enough for one printed page. */
const parts = {
  expected: prose(1200),
  happened: prose(1200),
  wedge: z.enum(["helped", "did not help", "not used", "cannot tell"]),
  wedgeWords: prose(400).optional(),
  lesson: prose(600),
};

export const learningNote = z
  .object({
    caseId: id,
    expected: z.string(),
    happened: z.string(),
    wedge: parts.wedge,
    wedgeWords: z.string().nullable(),
    lesson: z.string(),
    writtenBy: personRef,
    writtenAt: instant,
  })
  .meta({ id: "LearningNote" });
export type LearningNote = z.infer<typeof learningNote>;

export const writeLearningNote = operation({
  id: "writeLearningNote",
  method: "POST",
  path: "/cases/:caseId/learning-note",
  tag: "cases",
  access: ["vet"],
  status: 201,
  summary: "Write the one page on a closed case: what we expected, what happened, wedge or not",
  params: z.strictObject({ caseId: id }),
  body: z.strictObject(parts),
  response: learningNote,
});
export const readLearningNote = operation({
  id: "readLearningNote",
  method: "GET",
  path: "/cases/:caseId/learning-note",
  tag: "cases",
  access: ["vet", "farrier", "manager"],
  status: 200,
  summary: "The learning note of a closed case",
  params: z.strictObject({ caseId: id }),
  response: learningNote,
});
