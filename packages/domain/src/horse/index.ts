export { ageOn, type Age, type Birth } from "./age.ts";
export { ANIMAL_TYPES, type AnimalType } from "./animal-type.ts";
export {
  BODY_CONDITION_WORDS,
  CRESTY_NECK_WORDS,
  judgeBodyCondition,
  judgeCrestyNeck,
  type BodyCondition,
  type CrestyNeck,
} from "./body-condition.ts";
export { ASSIGNED_COUNTRY_CODES, countryCodeStanding } from "./country-codes.ts";
export { LARGEST_CHIP_NUMBER, MISUSED_CHIPS, parseMicrochip, type Microchip } from "./microchip.ts";
export { composeUeln, parseUeln, type Ueln } from "./ueln.ts";
export {
  WEIGHT_CHANGE_SETTINGS,
  weeklyLoss,
  weightChange,
  type DatedWeight,
  type WeeklyLoss,
  type WeightChange,
  type WeightChangeSettings,
} from "./weight-change.ts";
export {
  GIRTH_DIVISORS,
  GIRTH_READING_SD,
  weightFromGirth,
  type GirthDivisor,
  type GirthMeasurement,
  type GirthWeight,
} from "./weight-from-girth.ts";
