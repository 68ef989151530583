import type { Role } from "../access/index.ts";
import { MS_PER_HOUR, MS_PER_MINUTE, type InstantMs } from "../time/index.ts";
import { HANDOFF_HOURS, type HandoffUrgency } from "./required-handoff.ts";

/** A sent note, as far as its clock is concerned. */
export interface SentHandoff {
  readonly sentAtMs: InstantMs;
  readonly urgency: HandoffUrgency;
  readonly toRole: Role;
  /** As drafted, by the hours the practice had then; without it the standard hours hold. */
  readonly acknowledgeByMs?: InstantMs;
  readonly acknowledgedAtMs?: InstantMs;
}

export type HandoffStateName = "open" | "acknowledged" | "escalated";

export interface HandoffState {
  readonly state: HandoffStateName;
  readonly dueAtMs: InstantMs;
  /** Who must act now. */
  readonly withRole: Role;
  /** Zero while in time; one more each time it climbs. */
  readonly level: number;
  /** Milliseconds past due; zero while in time or once acknowledged. */
  readonly overdueMs: number;
}

/** Instant by which the note must be acknowledged. Real hours: a repeated hour does not lengthen it. */
export const handoffDueAt = (note: SentHandoff): InstantMs =>
  note.acknowledgeByMs ?? note.sentAtMs + HANDOFF_HOURS[note.urgency].value * MS_PER_HOUR;

/** Steps a late note climbs: the manager first, then, after as long again, the vet as well. */
const STEPS: readonly Role[] = ["manager", "vet"];

const stepRole = (note: SentHandoff, level: number): Role => {
  // A note to the manager has nowhere to climb but the vet.
  const steps = note.toRole === "manager" ? STEPS.filter((role) => role !== "manager") : STEPS;
  return steps[Math.min(level, steps.length) - 1] ?? "manager";
};

const levels = (note: SentHandoff): number => (note.toRole === "manager" ? 1 : STEPS.length);

/** Time between two climbs: as long as the note had at first, at least a minute. */
const stepMs = (note: SentHandoff, dueAtMs: InstantMs): number =>
  Math.max(MS_PER_MINUTE, dueAtMs - note.sentAtMs);

/** Where a note stands at an instant. An acknowledgement later than `atMs` has not happened yet. */
export const handoffState = (note: SentHandoff, atMs: InstantMs): HandoffState => {
  const dueAtMs = handoffDueAt(note);
  if (note.acknowledgedAtMs !== undefined && note.acknowledgedAtMs <= atMs)
    return { state: "acknowledged", dueAtMs, withRole: note.toRole, level: 0, overdueMs: 0 };
  if (atMs < dueAtMs)
    return { state: "open", dueAtMs, withRole: note.toRole, level: 0, overdueMs: 0 };
  const span = stepMs(note, dueAtMs);
  const level = Math.min(levels(note), 1 + Math.floor((atMs - dueAtMs) / span));
  return {
    state: "escalated",
    dueAtMs,
    withRole: stepRole(note, level),
    level,
    overdueMs: atMs - dueAtMs,
  };
};

export interface Escalation {
  readonly atMs: InstantMs;
  readonly toRole: Role;
  readonly level: number;
}

/**
 * The next time a note climbs, after an instant: what a timer should be set to. Undefined once it
 * is acknowledged or has climbed as far as it can.
 */
export const nextEscalation = (note: SentHandoff, afterMs: InstantMs): Escalation | undefined => {
  const { state, level } = handoffState(note, afterMs);
  if (state === "acknowledged" || level >= levels(note)) return undefined;
  const dueAtMs = handoffDueAt(note);
  const next = level + 1;
  return {
    atMs: dueAtMs + (next - 1) * stepMs(note, dueAtMs),
    toRole: stepRole(note, next),
    level: next,
  };
};
