export {
  SUPPORTS,
  chooseSupport,
  feetToSupport,
  type LiftsFeet,
  type Support,
  type SupportChoice,
  type SupportFacts,
} from "./choose-support.ts";
export {
  ICE_CHECK_HOURS,
  summariseIce,
  type IceEntry,
  type IceGap,
  type IceSummary,
} from "./ice-log.ts";
export { FIRST_AID_SETTINGS, type FirstAidSettings } from "./settings.ts";
export {
  BEDDINGS,
  FLOORS,
  RING_AT_ONCE,
  WATER_POSITIONS,
  WRITE_DOWN,
  beddingVolumeM3,
  writeFirstAidSheet,
  type Bedding,
  type BoxFacts,
  type Disagreement,
  type FirstAidFacts,
  type FirstAidSheet,
  type FirstAidStep,
  type Floor,
  type WaterPosition,
} from "./write-first-aid-sheet.ts";
