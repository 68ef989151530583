import type { Role } from "../access/index.ts";
import type { LocalDate } from "../time/index.ts";

/** What came of a booked visit. Only `done` starts a new cycle. */
export const RESET_OUTCOMES = [
  "done",
  "declined",
  "missed",
  "refused by owner",
  "weather",
  "horse not caught",
  "owner away",
  "cancelled",
] as const;
export type ResetOutcome = (typeof RESET_OUTCOMES)[number];

export interface OutcomeRule {
  /** Who acts next. */
  readonly nextRole: Role;
  readonly next: string;
  /** A handoff note is required. */
  readonly needsHandoff: boolean;
  /** Whether a new date must be agreed before the outcome is saved. */
  readonly needsNewDate: boolean;
  /** False where nobody may be scored down for it. */
  readonly countsAgainstFarrier: boolean;
}

/** What each outcome asks for. A farrier's decline is a proper outcome and goes to the vet at once. */
export const OUTCOME_RULES: Readonly<Record<ResetOutcome, OutcomeRule>> = {
  done: {
    nextRole: "farrier",
    next: "Book the next date before leaving.",
    needsHandoff: true,
    needsNewDate: true,
    countsAgainstFarrier: false,
  },
  declined: {
    nextRole: "vet",
    next: "Read the farrier's reason and plan a joint visit.",
    needsHandoff: true,
    needsNewDate: false,
    countsAgainstFarrier: false,
  },
  missed: {
    nextRole: "manager",
    next: "Find out why, rebook inside the window.",
    needsHandoff: true,
    needsNewDate: true,
    countsAgainstFarrier: true,
  },
  "refused by owner": {
    nextRole: "vet",
    next: "Ring the owner: what worries them, what waiting does to the foot.",
    needsHandoff: true,
    needsNewDate: false,
    countsAgainstFarrier: false,
  },
  weather: {
    nextRole: "manager",
    next: "Rebook for the first workable day.",
    needsHandoff: false,
    needsNewDate: true,
    countsAgainstFarrier: false,
  },
  "horse not caught": {
    nextRole: "manager",
    next: "Rebook with the horse in and a handler named.",
    needsHandoff: false,
    needsNewDate: true,
    countsAgainstFarrier: false,
  },
  "owner away": {
    nextRole: "manager",
    next: "Agree who stands in for the owner and rebook.",
    needsHandoff: false,
    needsNewDate: true,
    countsAgainstFarrier: false,
  },
  cancelled: {
    nextRole: "manager",
    next: "Rebook before the cancellation is saved.",
    needsHandoff: false,
    needsNewDate: true,
    countsAgainstFarrier: false,
  },
};

export interface Visit {
  readonly on: LocalDate;
  readonly outcome: ResetOutcome;
}

/** Day of the latest reset that was truly done; nothing else moves the cycle. */
export const lastDoneOn = (visits: readonly Visit[]): LocalDate | undefined =>
  visits
    .filter((visit) => visit.outcome === "done")
    .reduce<LocalDate | undefined>(
      (latest, visit) => (latest === undefined || visit.on > latest ? visit.on : latest),
      undefined,
    );
