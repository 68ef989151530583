export { STANDARD_TRIM_VALUES, TRIM_SETTINGS, trimValues } from "./settings.ts";
export type { TrimValues } from "./settings.ts";
export { TRIM_SOURCES } from "./sources.ts";
export { FEET } from "./trim-types.ts";
export type {
  Constraint,
  Foot,
  FootPlan,
  Range,
  Reading,
  Remaining,
  TrimInput,
  TrimLimits,
  TrimMeasures,
  TrimProposal,
  TrimStage,
  TrimTargets,
} from "./trim-types.ts";
export { trimMeasuresOfFilm } from "./measures-from-film.ts";
export { checkTrimMeasures } from "./trim-frame.ts";
export { proposeTrim } from "./propose-trim.ts";
export { trimFigures, trimOutcome } from "./trim-outcome.ts";
export type { ChosenTrim, TrimFigures, TrimOutcome } from "./trim-outcome.ts";
export {
  heelToRemoveMm,
  palmarAngleAfterHeelDegrees,
  palmarAngleAfterRotationDegrees,
  stageHeel,
} from "./heel.ts";
export { solveTrim, TRIM_COSTS } from "./solve-trim.ts";
export type { TrimOptimum, TrimProgramme } from "./solve-trim.ts";
export { founderMovesFromMm, isFounderMoving, judgeWedge } from "./judge-wedge.ts";
export type { WedgeQuestion } from "./judge-wedge.ts";
export { judgePrescription } from "./judge-prescription.ts";
export type {
  FilmAges,
  FootMeasures,
  PrescriptionContext,
  PrescriptionDraft,
  PrescriptionFilm,
} from "./judge-prescription.ts";
export { leverArm } from "./lever-arm.ts";
export type { LeverChange } from "./lever-arm.ts";
export {
  BEARING_COMPARISON,
  compareBearing,
  GRAVITY,
  groundBearing,
  meanPressure,
  standingLoadN,
} from "./ground-bearing.ts";
export type { Bearing, BearingInput, BearingPiece } from "./ground-bearing.ts";
export { polygonArea } from "./polygon.ts";
export type { PlanePoint, Polygon } from "./polygon.ts";
export {
  FILL_CATALOGUE,
  findFill,
  findFixing,
  findShoe,
  FIXING_CATALOGUE,
  FROG_PLATE_CAUTION,
  SHOE_CATALOGUE,
} from "./shoe-catalogue.ts";
export type {
  FillEntry,
  FixingEntry,
  Footprint,
  OwnCatalogue,
  ShoeEntry,
} from "./shoe-catalogue.ts";
export { AS_DONE_TOLERANCES, compareAsDone, isWorse } from "./compare-as-done.ts";
export type {
  AsDoneComparison,
  AsDoneRow,
  AsDoneTolerances,
  Comfort,
  FootAsDone,
} from "./compare-as-done.ts";
export {
  isCurrentPrescription,
  isWorkable,
  nextPrescriptionState,
  PRESCRIPTION_ACTIONS,
  PRESCRIPTION_STATES,
  prescriptionTransitions,
} from "./prescription-state.ts";
export type {
  PrescriptionAction,
  PrescriptionActor,
  PrescriptionState,
  PrescriptionTransition,
} from "./prescription-state.ts";
export {
  jointChangeDegrees,
  navicularForceChangePercent,
  TENDON_EFFECTS,
} from "./tendon-effects.ts";
export type { TendonEffect } from "./tendon-effects.ts";
export { planOutline } from "./plan-outline.ts";
export type { OutlineId, OutlineShape, PlannedFigures, PlanOutline } from "./plan-outline.ts";
export { ontoFilm } from "./onto-film.ts";
export type { OntoFilm } from "./onto-film.ts";
export { CONSENT_RULE, hasDevice, judgeConsent } from "./judge-consent.ts";
