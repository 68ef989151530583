export {
  handoffDueAt,
  handoffState,
  nextEscalation,
  type Escalation,
  type HandoffState,
  type HandoffStateName,
  type SentHandoff,
} from "./handoff-state.ts";
export {
  HANDOFF_HOURS,
  HANDOFF_KINDS,
  HANDOFF_LIMITS,
  judgeHandoff,
  requiredHandoffs,
  type HandoffDraft,
  type HandoffEvent,
  type HandoffField,
  type HandoffHours,
  type HandoffKind,
  type HandoffUrgency,
} from "./required-handoff.ts";
