import type { Role } from "../access/index.ts";
import type { Finding } from "../evidence/index.ts";
import { NEXT_PHASES, type Phase } from "./phases.ts";
import { HOUSE_CASE_RULES } from "./sources.ts";

export const CLOSING_REASONS = ["recovered", "welfare decision", "died", "moved away"] as const;
export type ClosingReason = (typeof CLOSING_REASONS)[number];

/** What closing a case rests on. */
export interface Closing {
  readonly reason: ClosingReason;
  /** The signed record of the welfare talk. */
  readonly welfareTalkRecordId?: string;
  /** The record that shows recovery: comfort without painkillers and the last examination. */
  readonly recoveryRecordId?: string;
  /** Where the records went. */
  readonly recordsSentTo?: string;
  /** Who tells farrier and carer, in person, after a death. */
  readonly farrierToldByPersonId?: string;
  readonly carerToldByPersonId?: string;
}

export interface PhaseChange {
  readonly from: Phase;
  readonly to: Phase;
  readonly byRole: Role;
  /** The handoff note that goes with the change. */
  readonly handoffNoteId?: string;
  /** Required when another phase than the suggested one is chosen. */
  readonly reason?: string;
  readonly suggested?: Phase;
  readonly closing?: Closing;
}

const refuse = (rule: string, detail: string, field: string): Finding => ({
  rule: `cases/${rule}@1`,
  outcome: "block",
  detail,
  source: HOUSE_CASE_RULES,
  field,
});

const missing = (text: string | undefined): boolean => text === undefined || text.trim() === "";

const closingFindings = (closing: Closing | undefined): readonly Finding[] => {
  if (closing === undefined)
    return [refuse("closing-record", "Closing a case needs its reason and record.", "/closing")];
  const findings: Finding[] = [];
  const ended = closing.reason === "welfare decision" || closing.reason === "died";
  if (closing.reason === "welfare decision" && missing(closing.welfareTalkRecordId))
    findings.push(
      refuse(
        "closing-welfare-talk",
        "A welfare decision needs the signed record of the talk with the owner.",
        "/closing/welfareTalkRecordId",
      ),
    );
  if (closing.reason === "recovered" && missing(closing.recoveryRecordId))
    findings.push(
      refuse(
        "closing-recovery",
        "Closing as recovered needs the record that shows it.",
        "/closing/recoveryRecordId",
      ),
    );
  if (closing.reason === "moved away" && missing(closing.recordsSentTo))
    findings.push(
      refuse("closing-moved", "Say where the records were sent.", "/closing/recordsSentTo"),
    );
  if (ended && missing(closing.farrierToldByPersonId))
    findings.push(
      refuse(
        "closing-tell-farrier",
        "Name the person who tells the farrier; nobody should hear it from a text.",
        "/closing/farrierToldByPersonId",
      ),
    );
  if (ended && missing(closing.carerToldByPersonId))
    findings.push(
      refuse(
        "closing-tell-carer",
        "Name the person who tells the yard carer.",
        "/closing/carerToldByPersonId",
      ),
    );
  return findings;
};

/** Whether a case may move to another phase, and what is missing. Only a vet may move it. */
export const judgePhaseChange = (change: PhaseChange): readonly Finding[] => {
  const findings: Finding[] = [];
  if (!NEXT_PHASES[change.from].includes(change.to))
    findings.push(
      refuse(
        "phase-order",
        change.from === "closed"
          ? "A closed case stays closed; open a new case for a new bout."
          : `A case cannot go from ${change.from} to ${change.to}.`,
        "/to",
      ),
    );
  if (change.byRole !== "vet")
    findings.push(refuse("phase-by-vet", "Only a vet changes the phase of a case.", "/byRole"));
  if (missing(change.handoffNoteId))
    findings.push(
      refuse(
        "phase-handoff",
        "A changed phase needs a handoff note to the people who look after the horse.",
        "/handoffNoteId",
      ),
    );
  if (change.to === "closed") findings.push(...closingFindings(change.closing));
  else if (
    change.suggested !== undefined &&
    change.suggested !== change.to &&
    missing(change.reason)
  )
    findings.push({
      rule: "cases/phase-against-suggestion@1",
      outcome: "warn",
      detail: `The facts suggest ${change.suggested}; write down why ${change.to} fits better.`,
      source: HOUSE_CASE_RULES,
      field: "/reason",
    });
  return findings;
};

/** What stops the moment a case is closed. */
export interface ClosedCase {
  readonly readOnly: true;
  readonly messagesAllowed: false;
  readonly remindersAllowed: false;
  /** People to be told by a person, not by a message. */
  readonly tellInPerson: readonly Role[];
}

/** The gentle ending: no message, reminder or bill goes out by itself afterwards. */
export const closeCase = (closing: Closing): ClosedCase => ({
  readOnly: true,
  messagesAllowed: false,
  remindersAllowed: false,
  tellInPerson:
    closing.reason === "welfare decision" || closing.reason === "died" ? ["farrier", "carer"] : [],
});

/** Actions on a case: all but reading are barred once it is closed. */
export const CASE_ACTIONS = ["read", "export", "write", "message", "remind", "book"] as const;
export type CaseAction = (typeof CASE_ACTIONS)[number];

/** Blocks everything but reading and exporting a closed case. */
export const closedCaseIsReadOnly = (phase: Phase, action: CaseAction): readonly Finding[] =>
  phase === "closed" && action !== "read" && action !== "export"
    ? [
        refuse(
          "closed-read-only",
          "This case is closed: it can be read and exported, and nothing more.",
          "/phase",
        ),
      ]
    : [];
