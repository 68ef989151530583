import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, line, localDate, personRef } from "./primitives.ts";
import { landmarkPoints } from "./radiographs.ts";

export const placeRepeatReading = operation({
  id: "placeRepeatReading",
  method: "POST",
  path: "/radiographs/:radiographId/repeat-readings",
  tag: "radiographs",
  access: ["vet", "farrier"],
  status: 201,
  summary:
    "Mark a film once more for the repeat-reading study; it does not become the film's measures",
  params: z.strictObject({ radiographId: id }),
  body: z.strictObject({ points: landmarkPoints }),
  response: z.object({
    id,
    radiographId: id,
    placedBy: personRef,
    placedAt: instant,
    myReadings: z.int().describe("readings of this film by this person so far"),
  }),
});

export const repeatReadingResult = z
  .object({
    measure: z.string(),
    label: z.string(),
    unit: z.string(),
    films: z.int(),
    readers: z.int(),
    readings: z.int(),
    semSameReader: z.number().nullable(),
    semBetweenReaders: z.number().nullable(),
    sem: z.number(),
    smallestRealChange: z.number(),
    method: z.enum(["two-way", "within films"]),
    enough: z.boolean(),
    missing: z.string().nullable(),
    inUse: z
      .object({ sem: z.number(), isOwn: z.boolean(), since: localDate.nullable() })
      .describe("what comparisons use today"),
  })
  .meta({ id: "RepeatReadingResult" });
export const readRepeatReadingStudy = operation({
  id: "readRepeatReadingStudy",
  method: "GET",
  path: "/repeat-reading-study",
  tag: "radiographs",
  access: ["vet", "manager"],
  status: 200,
  summary: "Reading error and smallest real change of each measure, from films marked repeatedly",
  response: z.object({
    items: z.array(repeatReadingResult),
    films: z.int(),
    readers: z.array(personRef),
  }),
});
export const adoptRepeatReadingStudy = operation({
  id: "adoptRepeatReadingStudy",
  method: "POST",
  path: "/repeat-reading-study/adoption",
  tag: "radiographs",
  access: ["vet"],
  status: 201,
  stepUp: true,
  summary: "Let comparisons use the practice's own reading error. Clinical lead only",
  body: z.strictObject({
    measures: z
      .array(line(60))
      .max(60)
      .optional()
      .describe("left out: every measure with enough readings"),
  }),
  response: z.object({ adopted: z.array(z.object({ measure: z.string(), sem: z.number() })) }),
});
