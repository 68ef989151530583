import type { Role } from "../access/index.ts";
import type { Phase } from "../cases/index.ts";
import type { ResetState } from "../cycle/index.ts";
import type { InstantMs } from "../time/index.ts";

/** Everything that can stand in somebody's queue. */
export const QUEUE_KINDS = [
  "red flag call",
  "unread film to measure",
  "prescription draft to sign",
  "prescription awaiting reply",
  "prescription queried",
  "prescription declined",
  "reset due",
  "handoff to acknowledge",
  "held course",
  "course review due",
  "dose due",
  "care check due",
  "weighing stale",
  "result unread",
  "monitoring due",
  "first-aid checklist",
  "film to take",
  "task due",
  "appointment today",
] as const;
export type QueueKind = (typeof QUEUE_KINDS)[number];

/**
 * One open piece of work. `dueAtMs` is the end of its own window: the acknowledgement time of a
 * note, the end of the due day of a reset, the time of a dose. Leave it out when nothing runs late.
 */
export interface QueueItem {
  /** Unique; breaks the last tie, so that the order is total. */
  readonly id: string;
  readonly kind: QueueKind;
  readonly horseName: string;
  readonly phase: Phase;
  readonly raisedAtMs: InstantMs;
  readonly dueAtMs?: InstantMs;
  /** First instant it is worth showing as soon to come. */
  readonly opensAtMs?: InstantMs;
  /** An acute case that no vet has examined. */
  readonly acuteUnseen?: boolean;
  /** Where a reset stands, so that pain or a passed growth limit lift it. */
  readonly resetState?: ResetState;
  /** A note or request marked urgent. */
  readonly urgent?: boolean;
  /** Roles it has climbed to beyond those its kind belongs to. */
  readonly alsoFor?: readonly Role[];
  /** Narrows the kind's roles, for instance a note's receiver. */
  readonly onlyFor?: readonly Role[];
  /** Facts for the reason line, e.g. "score 4 of 12, 3 yesterday". */
  readonly because?: string;
}

/** Key of the one action offered in place; the interface turns it into a button. */
export type NextAction =
  | "ring the vet"
  | "ring the yard"
  | "see the horse"
  | "measure the film"
  | "read and sign"
  | "answer the plan"
  | "chase the reply"
  | "answer the question"
  | "plan a joint visit"
  | "book the reset"
  | "do the reset"
  | "acknowledge"
  | "chase the note"
  | "decide on the course"
  | "give nothing"
  | "review the course"
  | "give the dose"
  | "do the check"
  | "weigh the horse"
  | "read the result"
  | "see to the monitoring"
  | "finish the checklist"
  | "take the film"
  | "open the appointment"
  | "open the case";

interface KindRule {
  /** Who sees the kind, and what each does next. */
  readonly actions: Readonly<Partial<Record<Role, NextAction>>>;
  /** Smaller comes first among items equal in welfare, lateness and phase. */
  readonly rank: number;
}

/** What each kind means to each role. A role without an action does not see the kind. */
export const KIND_RULES: Readonly<Record<QueueKind, KindRule>> = {
  "red flag call": {
    rank: 0,
    actions: { vet: "see the horse", manager: "ring the vet", carer: "ring the vet" },
  },
  "held course": {
    rank: 1,
    actions: { vet: "decide on the course", carer: "give nothing" },
  },
  "first-aid checklist": {
    rank: 2,
    actions: { carer: "finish the checklist", vet: "ring the yard" },
  },
  "dose due": { rank: 3, actions: { carer: "give the dose" } },
  "prescription declined": {
    rank: 4,
    actions: { vet: "plan a joint visit", manager: "plan a joint visit" },
  },
  "prescription queried": { rank: 5, actions: { vet: "answer the question" } },
  "unread film to measure": { rank: 6, actions: { vet: "measure the film" } },
  "prescription draft to sign": { rank: 7, actions: { vet: "read and sign" } },
  "course review due": { rank: 8, actions: { vet: "review the course" } },
  "prescription awaiting reply": {
    rank: 9,
    actions: { farrier: "answer the plan", manager: "chase the reply" },
  },
  "reset due": {
    rank: 10,
    actions: { farrier: "do the reset", manager: "book the reset", vet: "see the horse" },
  },
  "handoff to acknowledge": {
    rank: 11,
    actions: {
      vet: "acknowledge",
      farrier: "acknowledge",
      carer: "acknowledge",
      manager: "chase the note",
    },
  },
  "film to take": { rank: 12, actions: { vet: "take the film", manager: "take the film" } },
  "task due": {
    rank: 13,
    actions: {
      vet: "open the case",
      farrier: "open the case",
      manager: "open the case",
      carer: "open the case",
    },
  },
  "care check due": { rank: 14, actions: { carer: "do the check" } },
  "result unread": { rank: 15, actions: { vet: "read the result" } },
  "monitoring due": {
    rank: 16,
    actions: { vet: "see to the monitoring", manager: "see to the monitoring" },
  },
  "weighing stale": {
    rank: 17,
    actions: { carer: "weigh the horse", vet: "weigh the horse", manager: "weigh the horse" },
  },
  "appointment today": {
    rank: 18,
    actions: {
      vet: "open the appointment",
      farrier: "open the appointment",
      manager: "open the appointment",
      carer: "open the appointment",
      owner: "open the appointment",
    },
  },
};
