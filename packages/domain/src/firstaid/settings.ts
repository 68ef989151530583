import type { Setting } from "../evidence/index.ts";
import { CONFERENCE_BED, COOLING, EMERGENCY_PAGE, FOAM_BLOCK, FOAM_BY_WEIGHT } from "./sources.ts";

export const FIRST_AID_SETTINGS = {
  bedDepthLeastMm: {
    key: "firstaid.bed-depth-least",
    value: 400,
    unit: "mm",
    source: CONFERENCE_BED,
    since: "2026-01-01",
    change: "tighten",
  },
  /** 18 inches. */
  bedDepthMm: {
    key: "firstaid.bed-depth",
    value: 457,
    unit: "mm",
    source: EMERGENCY_PAGE,
    since: "2026-01-01",
    change: "tighten",
  },
  /** Below this weight a foam block is not crushed into shape. */
  foamFromKg: {
    key: "firstaid.foam-from",
    value: 400,
    unit: "kg",
    source: FOAM_BY_WEIGHT,
    since: "2026-01-01",
    change: "free",
  },
  foamThicknessMm: {
    key: "firstaid.foam-thickness",
    value: 50,
    unit: "mm",
    source: FOAM_BLOCK,
    since: "2026-01-01",
    change: "free",
  },
  iceBelowCelsius: {
    key: "firstaid.ice-below",
    value: 10,
    unit: "°C",
    source: COOLING,
    since: "2026-01-01",
    change: "fixed",
  },
} as const satisfies Record<string, Setting<number>>;

export type FirstAidSettings = Readonly<Record<keyof typeof FIRST_AID_SETTINGS, Setting<number>>>;
