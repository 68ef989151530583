import type { Finding, Judged } from "../evidence/index.ts";

/**
 * Life of a trim and shoe prescription. Nothing signed ever changes: an amendment is a new draft that
 * supersedes the old one when it is signed.
 */
export const PRESCRIPTION_STATES = [
  "draft",
  "signed",
  "accepted",
  "queried",
  "declined",
  "done",
  "superseded",
  "withdrawn",
] as const;
export type PrescriptionState = (typeof PRESCRIPTION_STATES)[number];

export const PRESCRIPTION_ACTIONS = [
  "sign",
  "accept",
  "query",
  "answer",
  "decline",
  "record-done",
  "supersede",
  "withdraw",
] as const;
export type PrescriptionAction = (typeof PRESCRIPTION_ACTIONS)[number];

export type PrescriptionActor = "vet" | "farrier" | "practice manager" | "yard carer" | "owner";

export interface PrescriptionTransition {
  readonly from: readonly PrescriptionState[];
  readonly to: PrescriptionState;
  readonly by: PrescriptionActor;
}

/** Who may move a prescription from where to where. */
export const prescriptionTransitions: Readonly<Record<PrescriptionAction, PrescriptionTransition>> =
  {
    sign: { from: ["draft"], to: "signed", by: "vet" },
    accept: { from: ["signed", "queried"], to: "accepted", by: "farrier" },
    query: { from: ["signed", "accepted"], to: "queried", by: "farrier" },
    answer: { from: ["queried"], to: "signed", by: "vet" },
    decline: { from: ["signed", "queried", "accepted"], to: "declined", by: "farrier" },
    "record-done": { from: ["accepted"], to: "done", by: "farrier" },
    // The signature of the next version; a done plan stays on record but is no longer current.
    supersede: {
      from: ["signed", "accepted", "queried", "declined", "done"],
      to: "superseded",
      by: "vet",
    },
    withdraw: {
      from: ["draft", "signed", "accepted", "queried", "declined"],
      to: "withdrawn",
      by: "vet",
    },
  };

const source = {
  id: "house/prescription-states",
  citation:
    "Signed plans are replaced, never edited; the medical decision is the vet's, the craft is the farrier's",
  status: "house rule",
} as const;

/** The state after an action, or the finding that refuses it. */
export const nextPrescriptionState = (
  state: PrescriptionState,
  action: PrescriptionAction,
  actorRole: PrescriptionActor,
): Judged<PrescriptionState> => {
  const transition = prescriptionTransitions[action];
  const refuse = (rule: string, detail: string): Judged<PrescriptionState> => {
    const finding: Finding = { rule, outcome: "block", detail, source };
    return { ok: false, findings: [finding] };
  };
  if (transition.by !== actorRole)
    return refuse(
      "prescription/actor@1",
      `Only the ${transition.by} may ${action} a prescription.`,
    );
  if (!transition.from.includes(state))
    return refuse(
      "prescription/state@1",
      `A prescription that is ${state} cannot be moved by ${action}.`,
    );
  return { ok: true, value: transition.to, findings: [] };
};

/** True while a farrier may work from it. A draft is never worked from. */
export const isWorkable = (state: PrescriptionState): boolean => state === "accepted";

/** True while it is the plan for its foot: signed and neither replaced nor withdrawn. */
export const isCurrentPrescription = (state: PrescriptionState): boolean =>
  ["signed", "accepted", "queried", "declined", "done"].includes(state);
