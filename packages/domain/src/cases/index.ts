export {
  CASE_ACTIONS,
  CLOSING_REASONS,
  closeCase,
  closedCaseIsReadOnly,
  judgePhaseChange,
  type CaseAction,
  type ClosedCase,
  type Closing,
  type ClosingReason,
  type PhaseChange,
} from "./change-phase.ts";
export {
  LADDER_STOP_SIGNS,
  MOVEMENT_SETTINGS,
  judgeLadderStart,
  ladderNext,
  turnoutClock,
  type LadderStep,
  type LadderStopSign,
  type MovementLadder,
  type SoundnessFacts,
  type TurnoutClock,
} from "./movement-ladder.ts";
export { NEXT_PHASES, PHASES, phaseRank, type Phase } from "./phases.ts";
export { judgeRelease, visibleToOwner, type Releasable } from "./release-to-owner.ts";
export {
  STEROID_WATCH_SETTING,
  judgeSteroid,
  type SteroidFacts,
  type SteroidWatch,
} from "./steroid-watch.ts";
export {
  ACUTE_SIX_TO_EIGHT_WEEKS,
  PHASE_SETTINGS,
  suggestPhase,
  type PhaseFacts,
  type PhaseSettings,
  type PhaseSuggestion,
} from "./suggest-phase.ts";
export {
  SIMILAR_CASE_SETTINGS,
  causeGroupOf,
  similarCases,
  type CaseShape,
  type CauseGroup,
} from "./similar-cases.ts";
export {
  SUPPORT_LIMB_PROPOSAL,
  SUPPORT_LIMB_SETTINGS,
  proposeSupportLimbWatch,
  supportLimbChecksDue,
  supportLimbWatch,
  type SupportLimbFacts,
  type SupportLimbWatch,
} from "./support-limb.ts";
