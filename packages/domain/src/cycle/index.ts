export { acuteReviewWindow } from "./acute-review.ts";
export {
  isClosedOn,
  judgeBooking,
  judgeCancellation,
  judgeNextDateBeforeLeaving,
  lastOpenDayBy,
  weekdayOf,
  type Booking,
  type Cancellation,
  type CancellationJudgement,
  type ClosedDays,
} from "./booking.ts";
export { complianceBy, resetCompliance, type Compliance, type DoneReset } from "./compliance.ts";
export {
  CONTACT_ANSWERS,
  readOwnerAnswer,
  summariseContacts,
  type ContactAnswer,
  type ContactSummary,
  type ContactTry,
} from "./contact-log.ts";
export { planCover, type CoverFarrier, type CoverMove, type CoverReset } from "./cover.ts";
export {
  RESET_STATES,
  dueWindow,
  resetStandingAt,
  resetStandingOn,
  type CycleFacts,
  type DueWindow,
  type ResetStanding,
  type ResetState,
  type StandingFacts,
} from "./due-window.ts";
export { filmsBeforeReset, type FilmFacts, type FilmNeed } from "./films-before-reset.ts";
export {
  intervalCeilingDays,
  judgeInterval,
  runningIntervalAfter,
  type IntervalChoice,
} from "./interval.ts";
export {
  OUTCOME_RULES,
  RESET_OUTCOMES,
  lastDoneOn,
  type OutcomeRule,
  type ResetOutcome,
  type Visit,
} from "./outcome.ts";
export { orderBySlack, type SlackRow } from "./order-by-slack.ts";
export { PAUSE_KINDS, dueAfterReturn, pauseOn, type Pause, type PauseKind } from "./pause.ts";
export {
  ACUTE_REVIEW_SETTING,
  CYCLE_SETTINGS,
  INTERVAL_SETTINGS,
  type CyclePhase,
  type CycleSettings,
  type IntervalRange,
} from "./settings.ts";
export { whoseMove, type Move, type MoveFacts, type ResetPeople } from "./whose-move.ts";
