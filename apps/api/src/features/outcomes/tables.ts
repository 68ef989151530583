import type { OUTCOME_TABLES, Outcomes } from "@heelward/contracts";
import type { Bytes } from "../../http/route.ts";
import { csvOf } from "../radiographs/export/measurements-csv.ts";

type Table = (typeof OUTCOME_TABLES)[number];
type Line = readonly (string | number | null)[];
type Rate = Outcomes["comfort"]["lower"];
type Summary = Outcomes["comfort"]["first"];

const ofRate = (figure: string, unit: string, { count, n, share }: Rate): Line => [
  figure,
  unit,
  n,
  count,
  share,
  null,
  null,
  null,
];
const ofSummary = (figure: string, unit: string, one: Summary): Line => [
  figure,
  unit,
  one.n,
  null,
  null,
  one.median,
  one.lowest,
  one.highest,
];

const figures = (all: Outcomes): readonly Line[] => [
  ["Figure", "Unit", "n", "Count", "Share", "Median", "Lowest", "Highest"],
  ...all.timeToSign.map(({ what, hours }) =>
    ofSummary(`Draft to signature (${what})`, "hours", hours),
  ),
  ofRate("Resets in time (practice)", "resets", all.adherence.practice),
  ...all.adherence.byFarrier.map(({ farrier, resets }) =>
    ofRate(`Resets in time (${farrier.name})`, "resets", resets),
  ),
  ...all.measures.flatMap(({ label, unit, change, rose, fell, unclear }) => [
    ofSummary(`Change of ${label}`, unit, change),
    ofRate(`${label} rose`, "horses", rose),
    ofRate(`${label} fell`, "horses", fell),
    ofRate(`${label} not clearly different`, "horses", unclear),
  ]),
  ofSummary("First five-sign score", "0-12", all.comfort.first),
  ofSummary("Last five-sign score", "0-12", all.comfort.last),
  ofRate("Last score lower than first", "cases", all.comfort.lower),
  ofRate("Last score higher than first", "cases", all.comfort.higher),
];

const TABLES: Readonly<Record<Table, (all: Outcomes) => readonly Line[]>> = {
  figures,
  workload: ({ workload }) => [
    [
      "Person",
      "Roles",
      "Shoeings",
      "Examinations and checks",
      "Signatures",
      "Doses",
      "Notes read",
      "Open resets",
      "Open notes",
      "Drafts",
    ],
    ...workload.map((one) => [
      one.person.name,
      one.roles.join(" "),
      one.visits,
      one.examinations,
      one.signatures,
      one.doses,
      one.notesRead,
      one.openResets,
      one.openNotes,
      one.drafts,
    ]),
  ],
  drafts: ({ drafts }) => [
    ["Horse", "What", "Title", "Drafted by", "Drafted at"],
    ...drafts.map((one) => [
      one.horse.name,
      one.what,
      one.title,
      one.draftedBy.name,
      one.draftedAt,
    ]),
  ],
  weights: ({ staleWeights }) => [
    ["Horse", "Yard", "Days since weighed", "On"],
    ...staleWeights.map((one) => [one.horse.name, one.yard, one.ageDays, one.medicines.join(", ")]),
  ],
  notes: ({ notes }) => [
    ["Horse", "From", "To", "Urgent", "Written at", "To be read by", "Late", "Situation"],
    ...notes.map((one) => [
      one.horse.name,
      one.fromPerson.name,
      one.toPerson?.name ?? one.toRole,
      one.urgent ? "yes" : "no",
      one.writtenAt,
      one.acknowledgeBy,
      one.isLate ? "yes" : "no",
      one.situation,
    ]),
  ],
};

/** One part as a table; text that a spreadsheet would take for a formula is made harmless. */
export const tableOf = (all: Outcomes, table: Table): Bytes => ({
  bytes: new TextEncoder().encode(csvOf(TABLES[table](all))),
  mediaType: "text/csv; charset=utf-8",
  fileName: `outcomes-${table}.csv`,
});
