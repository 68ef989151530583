import type { Prescription } from "@heelward/contracts";
import type { Entry, Request } from "../../offline/outbox.ts";

/** One way out of a conflict: what would be sent instead. `id` names its words. */
export interface Choice {
  readonly id: "recordAll" | "recordBoth" | "withoutDate" | "sendAgain" | "asNote";
  readonly request: Request;
}

/** What stands at the practice now, as far as it matters for the decision. */
export interface Standing {
  /** The plan the entry is about, as it is now. */
  readonly plan: Pick<Prescription, "status" | "version" | "number" | "horseId"> | undefined;
  /** Who finds a date where none could be booked. */
  readonly managerId: string | undefined;
}

const without = (request: Request, ...names: readonly string[]): Request => ({
  ...request,
  body: Object.fromEntries(Object.entries(request.body).filter(([name]) => !names.includes(name))),
});

const GONE = ["superseded", "withdrawn", "done"];

const ofVisit = (
  { request, refusal }: Entry,
  { plan, managerId }: Standing,
  dateReason: string,
): readonly Choice[] => {
  // The other visit has been seen now; it is the person's word that both took place.
  const seen = without(request, "lastRecordId");
  const isGone = plan !== undefined && GONE.includes(plan.status);
  const all: Request = isGone ? { ...seen, body: { ...seen.body, byReplacedPlan: true } } : seen;
  const isDate =
    refusal?.errors?.some(({ pointer }) => pointer.startsWith("/nextReset")) === true ||
    refusal?.slug === "rule-violated";
  return [
    ...(refusal?.slug === "conflict"
      ? [{ id: isGone ? ("recordAll" as const) : ("recordBoth" as const), request: all }]
      : []),
    ...((isDate || refusal?.slug === "conflict") && managerId !== undefined
      ? [
          {
            id: "withoutDate" as const,
            request: {
              ...all,
              body: {
                ...all.body,
                nextReset: { noDateReason: dateReason, personToBook: managerId },
              },
            },
          },
        ]
      : []),
  ];
};

const ofReply = ({ request }: Entry, { plan }: Standing): readonly Choice[] => {
  if (plan === undefined) return [];
  const { text } = request.body;
  const reply = typeof request.body["reply"] === "string" ? request.body["reply"] : "";
  const { versionOf: _, ...rest } = request;
  const isOpen = ["signed", "queried", "accepted"].includes(plan.status);
  return [
    ...(isOpen && !(plan.status === "accepted" && reply === "accepted")
      ? [{ id: "sendAgain" as const, request: { ...rest, ifMatch: plan.version } }]
      : []),
    ...(typeof text === "string"
      ? [
          {
            id: "asNote" as const,
            request: {
              operation: "writeHandoffNote",
              params: {},
              body: {
                horseId: plan.horseId,
                toRole: "vet",
                urgent: reply === "declined",
                situation: `Plan ${String(plan.number)}: ${reply} without signal`,
                found: text.slice(0, 400),
                mustDo: "Read this beside the plan in force",
              },
            },
          },
        ]
      : []),
  ];
};

/**
 * The ways out of a conflict besides putting it aside; each keeps every word that was written. A visit
 * is never compared anew with a plan the farrier had not seen.
 */
export const choicesOf = (
  entry: Entry,
  standing: Standing,
  dateReason: string,
): readonly Choice[] => {
  switch (entry.request.operation) {
    case "recordShoeing":
      return ofVisit(entry, standing, dateReason);
    case "replyToPrescription":
      return ofReply(entry, standing);
    case "acknowledgeNote":
      return [];
    default:
      return [{ id: "sendAgain", request: entry.request }];
  }
};
