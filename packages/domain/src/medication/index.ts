export {
  bandUnits,
  buildCourse,
  courseSteps,
  heaviestDayText,
  measureText,
  roundToMeasure,
  type CoursePlan,
  type CourseRequest,
  type PlanStep,
  type RateAtWeights,
  type RequestedStep,
} from "./build-course.ts";
export { CEILING_TOLERANCE, looserSettings, NEAR_CEILING, type CheckedWindow } from "./ceilings.ts";
export {
  DETECTION_TIMES,
  earliestClear,
  NO_DETECTION_TIME,
  RETENTION_YEARS,
  type ClearTime,
  type DetectionTime,
} from "./competition.ts";
export { counts, inWindow, mergeDoseRecords, SERIES_GAP_DAYS } from "./counted-doses.ts";
export { doseRateText, hasReason, mgText, missingReasons } from "./finding.ts";
export {
  drugOf,
  FORMULARY,
  FORMULARY_EDITION,
  formularyFor,
  presentationOf,
  unverifiedFigures,
} from "./formulary/index.ts";
export type {
  AgeGate,
  Ceiling,
  DoseBand,
  Drug,
  DrugClass,
  Figure,
  LabelPhase,
  MeasureUnit,
  MonitoringRule,
  Presentation,
} from "./formulary/types.ts";
export {
  doseDayView,
  partOfDay,
  type DoseDayLine,
  type DoseDayStatus,
  type PartOfDay,
} from "./dose-day.ts";
export { holdsOn } from "./holds.ts";
export { judgeCourse } from "./judge-course.ts";
export {
  earliestAllowedAt,
  judgeDose,
  ON_TIME_MINUTES,
  type DoseJudgement,
  type JudgeDoseOptions,
} from "./judge-dose.ts";
export { ledger, type Ledger, type MoietyTotals } from "./ledger.ts";
export { monitoringTasks, type MonitoringTask } from "./monitoring.ts";
export { onNewWeight, type CourseAtNewWeight, type NewWeightReview } from "./on-new-weight.ts";
export {
  missingPrescriptionFields,
  PRESCRIPTION_FIELDS,
  prescriptionValidity,
  requiredPrescriptionFields,
  type PrescriptionField,
  type PrescriptionKind,
  type PrescriptionValidity,
  type RequiredField,
} from "./prescription.ts";
export {
  judgeSigns,
  RED_FLAG_SIGNS,
  signsFor,
  TEMPERATURE_LIMITS,
  type RedFlagSign,
  type SignsJudgement,
} from "./red-flags.ts";
export { judgeResult, RESULT_LIMITS, type LabResult, type ResultJudgement } from "./results.ts";
export { remainingSteps } from "./remaining-steps.ts";
export { firstReviewOn, nextReviewOn } from "./review.ts";
export { NSAID_GAP_HOURS } from "./rules/company.ts";
export { foodChainFindings } from "./rules/food-chain.ts";
export { lastDayOf, laterOnClock, scheduledDoses, type ScheduledDose } from "./schedule.ts";
export { MEDICATION_SETTINGS } from "./settings.ts";
export { offeredShiftMinutes, shiftCourse, type ShiftedCourse } from "./shift-course.ts";
export { slotsOf, type Slot } from "./slots.ts";
export * from "./types.ts";
export {
  judgeWeight,
  REWEIGH_ON_COURSE_DAYS,
  TAPE_MIN_HEIGHT_CM,
  WEIGHT_MAX_AGE_DAYS,
  weightInForce,
  weightInterval,
  type WeightInForce,
  type WeightInterval,
} from "./weight.ts";
