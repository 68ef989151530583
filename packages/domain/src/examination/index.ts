export {
  FEET,
  SCORE_WITHOUT_PAINKILLER_HOURS,
  judgeExamination,
  type Examination,
  type Foot,
} from "./examination.ts";
export {
  FIVE_SIGNS,
  FIVE_SIGN_TOTAL,
  judgeFiveSignScore,
  type FiveSign,
  type FiveSignScore,
} from "./five-sign-score.ts";
export {
  DIGITAL_PULSES,
  HOOF_HEATS,
  LAMENESS_WORDS,
  OBEL_WORDS,
  OBEL_SEVERITY_SOURCE,
  judgeLameness,
  judgeObel,
  obelSeverity,
  type DigitalPulse,
  type Grade,
  type HoofHeat,
} from "./grades.ts";
export {
  PAIN_TREND_SETTINGS,
  painTrend,
  slowHealing,
  type PainTrend,
  type PainTrendSettings,
  type TimedScore,
} from "./pain-trend.ts";
export {
  PHONE_QUESTIONS,
  phoneCallTriage,
  type PhoneAnswers,
  type Triage,
  type TriageUrgency,
} from "./phone-triage.ts";
export {
  AFTERBIRTH_HOURS,
  NO_BETTER_DAY,
  RED_FLAG_CAUTION,
  RED_FLAG_SIGNS,
  examinationRedFlags,
  isRedFlag,
  type EarlierCheck,
  type RedFlagCheck,
  type RedFlagSign,
  type RedFlagSigns,
} from "./red-flags.ts";
export {
  VITAL_SIGN_SETTINGS,
  judgeVitalSigns,
  vitalSignRedFlags,
  type VitalSignSettings,
  type VitalSigns,
} from "./vital-signs.ts";
