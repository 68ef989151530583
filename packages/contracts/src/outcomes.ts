import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, personRef, role } from "./primitives.ts";

const offices = ["vet", "manager"] as const;
const rate = z
  .object({
    count: z.int(),
    n: z.int(),
    share: z.number().nullable().describe("0 to 1; null while n is too small to say it"),
  })
  .meta({ id: "Rate" });
const summary = z
  .object({
    n: z.int(),
    median: z.number().nullable().describe("null, as the ends, while n is too small"),
    lowest: z.number().nullable(),
    highest: z.number().nullable(),
  })
  .meta({ id: "Summary" });
const horse = z.object({ id, name: z.string() });

/** How far back the figures look. */
const span = z.strictObject({
  days: z.coerce.number().int().min(7).max(1_100).default(365).describe("days back from now"),
});

export const outcomes = z
  .object({
    at: instant,
    days: z.int(),
    fewest: z.int().describe("cases below which no share and no middle is given"),
    timeToSign: z
      .array(z.object({ what: z.enum(["plan", "course"]), hours: summary }))
      .describe("hours from draft to signature, signed in these days"),
    adherence: z.object({
      graceDays: z.int(),
      practice: rate,
      byFarrier: z.array(z.object({ farrier: personRef, resets: rate })),
    }),
    measures: z
      .array(
        z.object({
          key: z.string(),
          label: z.string(),
          unit: z.string(),
          change: summary.describe("last film less first film"),
          rose: rate,
          fell: rate,
          unclear: rate.describe("inside the reading error: not clearly different"),
        }),
      )
      .describe("per case, on the foot filmed most often, any wedge taken out"),
    comfort: z
      .object({
        first: summary,
        last: summary,
        lower: rate.describe("cases whose last five-sign score is lower than their first"),
        higher: rate,
      })
      .describe("cases with two five-sign scores or more"),
    workload: z.array(
      z.object({
        person: personRef,
        roles: z.array(role),
        visits: z.int().describe("shoeings done in these days"),
        examinations: z.int().describe("examinations and yard checks"),
        signatures: z.int(),
        doses: z.int(),
        notesRead: z.int(),
        openResets: z.int(),
        openNotes: z.int().describe("notes addressed to the person by name"),
        drafts: z.int(),
      }),
    ),
    drafts: z.array(
      z.object({
        id,
        what: z.enum(["plan", "course"]),
        horse,
        title: z.string(),
        draftedBy: personRef,
        draftedAt: instant,
        href: z.string(),
      }),
    ),
    staleWeights: z.array(
      z.object({
        horse,
        yard: z.string(),
        ageDays: z.int().nullable().describe("null: never weighed"),
        medicines: z.array(z.string()),
      }),
    ),
    notes: z.array(
      z.object({
        id,
        horse,
        situation: z.string(),
        fromPerson: personRef,
        toRole: role,
        toPerson: personRef.nullable(),
        urgent: z.boolean(),
        writtenAt: instant,
        acknowledgeBy: instant,
        isLate: z.boolean(),
      }),
    ),
  })
  .meta({ id: "Outcomes" });
export type Outcomes = z.infer<typeof outcomes>;

export const readOutcomes = operation({
  id: "readOutcomes",
  method: "GET",
  path: "/outcomes",
  tag: "outcomes",
  access: offices,
  status: 200,
  summary:
    "How the practice's cases go, each figure with its n, and what waits: drafts, weights, notes, per person",
  query: span,
  response: outcomes,
});
export const OUTCOME_TABLES = ["figures", "workload", "drafts", "weights", "notes"] as const;
export const exportOutcomes = operation({
  id: "exportOutcomes",
  method: "GET",
  path: "/outcomes/table",
  tag: "outcomes",
  access: offices,
  status: 200,
  summary: "One part of the outcomes as a table for spreadsheets",
  query: span.extend({ table: z.enum(OUTCOME_TABLES).default("figures") }),
  response: z.string().describe("bytes"),
  produces: "text/csv; charset=utf-8",
});
