import { valuesOf, type OwnFigures, type Setting } from "../evidence/index.ts";
import { TRIM_SOURCES } from "./sources.ts";

const since = "2025-10-15";

/** Limits and house values of the trim planner. */
export const TRIM_SETTINGS = {
  soleMm: {
    key: "trim.sole",
    value: { aim: 15, warn: 12, block: 10 },
    unit: "mm",
    source: TRIM_SOURCES.soleFloor,
    since,
    change: "tighten",
  },
  heelHardMm: {
    key: "trim.heel-hard",
    value: 10,
    unit: "mm a visit",
    source: TRIM_SOURCES.heelTenMm,
    since,
    change: "tighten",
  },
  heelPerVisitMm: {
    key: "trim.heel-per-visit",
    value: 6,
    unit: "mm a visit",
    source: TRIM_SOURCES.heelHouse,
    since,
    change: "free",
  },
  wallFloorMm: {
    key: "trim.wall-floor",
    value: { horse: 15, pony: 12, donkey: 12 },
    unit: "mm from wall surface to P3",
    source: TRIM_SOURCES.wallFloor,
    since,
    change: "tighten",
  },
  breakoverMm: {
    key: "trim.breakover",
    value: { low: 0, high: 10, aim: 6 },
    unit: "mm in front of the tip of P3",
    source: TRIM_SOURCES.breakoverTarget,
    since,
    change: "free",
  },
  palmarAngleDegrees: {
    key: "trim.palmar-angle",
    value: { low: 3, high: 5 },
    unit: "degrees",
    source: TRIM_SOURCES.palmarBand,
    since,
    change: "free",
  },
  donkeyPalmarAngleDegrees: {
    key: "trim.palmar-angle-donkey",
    value: { low: 6, high: 10 },
    unit: "degrees",
    source: TRIM_SOURCES.donkeyBand,
    since,
    change: "free",
  },
  bevelDegrees: {
    key: "trim.bevel",
    value: 35,
    unit: "degrees",
    source: TRIM_SOURCES.heelTenMm,
    since,
    change: "free",
  },
  bevelHeightMm: {
    key: "trim.bevel-height",
    value: 12,
    unit: "mm up the toe a visit",
    source: TRIM_SOURCES.bevelHeight,
    since,
    change: "free",
  },
  toePerVisitMm: {
    key: "trim.toe-per-visit",
    value: 26,
    unit: "mm at the ground a visit",
    source: TRIM_SOURCES.toeHouse,
    since,
    change: "free",
  },
  outsideLiveSoleMm: {
    key: "trim.outside-live-sole",
    value: 5,
    unit: "mm",
    source: TRIM_SOURCES.heelTenMm,
    since,
    change: "free",
  },
  wedgeMostDegrees: {
    key: "trim.wedge-most",
    value: 6,
    unit: "degrees",
    source: TRIM_SOURCES.wedgeSmall,
    since,
    change: "tighten",
  },
  wedgeMostDays: {
    key: "trim.wedge-days",
    value: 21,
    unit: "days",
    source: TRIM_SOURCES.wedgeShort,
    since,
    change: "tighten",
  },
  frogPlateBehindFrogTipMm: {
    key: "trim.frog-plate",
    value: 10,
    unit: "mm",
    source: TRIM_SOURCES.frogPlate,
    since,
    change: "free",
  },
  fillBehindTipMm: {
    key: "trim.fill-behind-tip",
    value: 10,
    unit: "mm",
    source: TRIM_SOURCES.fillTip,
    since,
    change: "free",
  },
  standingShare: {
    key: "trim.standing-share",
    value: { front: 0.285, hind: 0.215 },
    unit: "share of body weight per foot",
    source: TRIM_SOURCES.load,
    since,
    change: "fixed",
  },
} as const satisfies Record<string, Setting<unknown>>;

/** The figures the planner and the checks work with, without their sources. */
export type TrimValues = ReturnType<typeof valuesOf<typeof TRIM_SETTINGS>>;

/** The standard figures with the practice's own in their places. */
export const trimValues = (own: OwnFigures): TrimValues => valuesOf(TRIM_SETTINGS, own);

/** The figures in force where no practice has set its own. */
export const STANDARD_TRIM_VALUES: TrimValues = trimValues({});
