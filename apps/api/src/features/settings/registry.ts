import {
  MOVEMENT_SETTINGS,
  PHASE_SETTINGS,
  STEROID_WATCH_SETTING,
  SUPPORT_LIMB_SETTINGS,
} from "@heelward/domain/cases";
import { ACUTE_REVIEW_SETTING, CYCLE_SETTINGS, INTERVAL_SETTINGS } from "@heelward/domain/cycle";
import type { Setting, Source } from "@heelward/domain/evidence";
import { PAIN_TREND_SETTINGS, VITAL_SIGN_SETTINGS } from "@heelward/domain/examination";
import { FIRST_AID_SETTINGS, ICE_CHECK_HOURS } from "@heelward/domain/firstaid";
import {
  definitionOf,
  GEOMETRY_SETTINGS,
  MEASURE_KEYS,
  semFigureKey,
} from "@heelward/domain/geometry";
import { GROWTH_SETTINGS } from "@heelward/domain/growth";
import { HANDOFF_HOURS } from "@heelward/domain/handoff";
import { GIRTH_READING_SD, WEIGHT_CHANGE_SETTINGS } from "@heelward/domain/horse";
import {
  DETECTION_TIMES,
  FORMULARY,
  MEDICATION_SETTINGS,
  NO_DETECTION_TIME,
  unverifiedFigures,
} from "@heelward/domain/medication";
import { METABOLIC_SETTINGS } from "@heelward/domain/metabolic";
import { RETENTION_SETTINGS } from "@heelward/domain/retention";
import { AS_DONE_TOLERANCES, TRIM_SETTINGS } from "@heelward/domain/trim";
import { ROUTING_SETTINGS } from "@heelward/routing";
import { MEDICATION_SETTING_KEYS } from "../medication/settings.ts";
import { WELFARE_WEIGHTS } from "../plans/welfare-weights.ts";
import { JOB_MINUTES } from "../resets/job.ts";
import { HOUSE_DAY } from "../routes/house-day.ts";
import { FIGURE_NOTES, type Stricter } from "./figure-notes.ts";

/** One number a rule works with. */
export interface Figure {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  /** The standard value. */
  readonly value: number;
  readonly source: Source;
  readonly since: string;
  readonly change: Setting<number>["change"];
  readonly stricter: Stricter;
  /** False while the rules go by the standard value whatever a practice says: it cannot be changed then. */
  readonly isApplied: boolean;
}

const GROUPS: readonly (readonly Setting<unknown>[])[] = [
  Object.values(PHASE_SETTINGS),
  Object.values(MOVEMENT_SETTINGS),
  [STEROID_WATCH_SETTING],
  Object.values(SUPPORT_LIMB_SETTINGS),
  Object.values(CYCLE_SETTINGS),
  [ACUTE_REVIEW_SETTING, ...Object.values(INTERVAL_SETTINGS)],
  Object.values(PAIN_TREND_SETTINGS),
  Object.values(VITAL_SIGN_SETTINGS),
  Object.values(FIRST_AID_SETTINGS),
  [ICE_CHECK_HOURS],
  GEOMETRY_SETTINGS,
  Object.values(GROWTH_SETTINGS),
  Object.values(HANDOFF_HOURS),
  Object.values(WEIGHT_CHANGE_SETTINGS),
  [GIRTH_READING_SD],
  MEDICATION_SETTINGS,
  Object.values(METABOLIC_SETTINGS),
  Object.values(TRIM_SETTINGS),
  [AS_DONE_TOLERANCES],
  ROUTING_SETTINGS,
  Object.values(HOUSE_DAY),
  Object.values(JOB_MINUTES),
  Object.values(WELFARE_WEIGHTS),
  Object.values(RETENTION_SETTINGS),
];

/** Keys, or beginnings of keys, whose values the services read through `settingValue` or `ownSettings`. */
const APPLIED: readonly string[] = [
  ...Object.values(RETENTION_SETTINGS).map((setting) => setting.key),
  MEDICATION_SETTING_KEYS.weightMaxAge,
  MEDICATION_SETTING_KEYS.resignEvery,
  MEDICATION_SETTING_KEYS.ceiling,
  MEDICATION_SETTING_KEYS.confirmed,
  MEDICATION_SETTING_KEYS.detection,
  "metabolic.",
  STEROID_WATCH_SETTING.key,
  ...Object.values(WEIGHT_CHANGE_SETTINGS).map((setting) => setting.key),
  "radiograph.",
  "routing/",
  "reset-job/",
  "plan-weight/",
  ...Object.values(HANDOFF_HOURS).map((setting) => setting.key),
  "growth.",
  "trim.",
  ...Object.values(CYCLE_SETTINGS).map((setting) => setting.key),
  ...Object.values(INTERVAL_SETTINGS).map((setting) => setting.key),
];

const isApplied = (key: string): boolean => APPLIED.some((start) => key.startsWith(start));

/** The numbers inside a value, by their path below the key; lists count from 1. */
const numbersIn = (key: string, value: unknown): readonly (readonly [string, number])[] => {
  if (typeof value === "number") return [[key, value]];
  if (Array.isArray(value)) return value.flatMap((one, at) => numbersIn(`${key}.${at + 1}`, one));
  if (typeof value === "object" && value !== null)
    return Object.entries(value).flatMap(([name, one]) => numbersIn(`${key}.${name}`, one));
  return [];
};

const ofRules: readonly Figure[] = GROUPS.flat().flatMap((setting) =>
  numbersIn(setting.key, setting.value).flatMap(([key, value]) => {
    const note = FIGURE_NOTES[key];
    return note === undefined
      ? []
      : [
          {
            key,
            label: note.label,
            unit: setting.unit,
            value,
            source: setting.source,
            since: setting.since,
            change: setting.change,
            stricter: note.stricter ?? null,
            isApplied: isApplied(key),
          },
        ];
  }),
);

const EDITION = "2026-01-01";

/** A year at most; 0 says that the list has no figure. */
export const DETECTION_UNIT = "h after the last dose, 0 = no figure";
export const MOST_DETECTION_HOURS = 8760;

/** The dose limits, each of which a practice may lower. */
const ceilings: readonly Figure[] = FORMULARY.flatMap((drug) =>
  drug.ceilings.flatMap((ceiling) =>
    (
      [
        ["mg-per-kg", ceiling.mgPerKg, "mg/kg"],
        ["absolute-mg", ceiling.absoluteMg, "mg"],
      ] as const
    ).flatMap(([name, value, unit]) => {
      if (value === undefined) return [];
      const key = `${MEDICATION_SETTING_KEYS.ceiling}${ceiling.id}.${name}`;
      return [
        {
          key,
          label: `${drug.name}: limit ${ceiling.id.split("/").at(-1)?.replaceAll("-", " ") ?? ""} in ${ceiling.windowHours} h`,
          unit,
          value,
          source: ceiling.source,
          since: EDITION,
          change: "tighten" as const,
          stricter: "lower" as const,
          isApplied: isApplied(key),
        },
      ];
    }),
  ),
);

/** Hours a sport's list gives each medicine; the practice enters the list in force, with its name and date as the source. */
const detections: readonly Figure[] = FORMULARY.map((drug) => {
  const key = `${MEDICATION_SETTING_KEYS.detection}${drug.key}`;
  const known = DETECTION_TIMES.find((row) => row.drugKey === drug.key);
  return {
    key,
    label: `${drug.name}: detection time in the sport's list`,
    unit: DETECTION_UNIT,
    value: known?.hours ?? 0,
    source: known?.source ?? NO_DETECTION_TIME,
    since: EDITION,
    change: "free",
    stricter: null,
    isApplied: isApplied(key),
  };
});

/** Figures recalled from memory: 1 once a vet of the practice has checked them. */
const confirmations: readonly Figure[] = unverifiedFigures().map((figure) => {
  const key = `${MEDICATION_SETTING_KEYS.confirmed}${figure.id}`;
  return {
    key,
    label: `${figure.id} (${figure.value} ${figure.unit}) checked against the data sheet in force`,
    unit: "1 = checked, 0 = not",
    value: 0,
    source: figure.source,
    since: EDITION,
    change: "free",
    stricter: null,
    isApplied: isApplied(key),
  };
});

const FROM_STUDY: Source = {
  id: "own-repeat-reading-study",
  citation:
    "Own repeat-reading study, once the clinical lead has adopted it; 0 = none yet, the reading error of its kind counts",
  status: "house rule",
};

/** The practice's own reading error of each measure; only the adoption of a study writes one. */
const readingErrors: readonly Figure[] = MEASURE_KEYS.map((measure) => {
  const { label, unit } = definitionOf(measure);
  return {
    key: semFigureKey(measure),
    label: `Own reading error: ${label}`,
    unit,
    value: 0,
    source: FROM_STUDY,
    since: EDITION,
    change: "fixed",
    stricter: null,
    isApplied: true,
  };
});

/** Every figure of the rules, each key once. */
export const FIGURES: ReadonlyMap<string, Figure> = new Map(
  [...ofRules, ...ceilings, ...confirmations, ...detections, ...readingErrors].map((figure) => [
    figure.key,
    figure,
  ]),
);

/** Numbers of the rules that have no line in the table of labels: none, or a test says so. */
export const unlabelledFigures = (): readonly string[] =>
  GROUPS.flat()
    .flatMap((setting) => numbersIn(setting.key, setting.value))
    .map(([key]) => key)
    .filter((key) => FIGURE_NOTES[key] === undefined);
