import type { Source } from "../../evidence/index.ts";
import type { Jurisdiction } from "../types.ts";
import { RULE } from "./sources.ts";
import type { Ceiling, Drug, Figure } from "./types.ts";

export const EVERYWHERE: readonly Jurisdiction[] = ["UK", "EU", "US", "general"];
export const UK_EU: readonly Jurisdiction[] = ["UK", "EU"];
export const NOT_US: readonly Jurisdiction[] = ["UK", "EU", "general"];
/** Stands for "no last day". */
export const OPEN = 100_000;
/** Version of the whole table; raised with every change of a figure. */
export const FORMULARY_VERSION = "2026.1";
export const FORMULARY_REVIEW_ON = "2027-01-31";

type Required = "key" | "name" | "classes" | "licensedIn" | "presentations" | "foodChain";

/** Fills what most drugs share, so each entry shows only what is its own. */
export const drug = (entry: Pick<Drug, Required> & Partial<Drug>): Drug => ({
  moiety: entry.key,
  moietyFactor: 1,
  hospitalOnly: false,
  ceilings: [],
  softCeilings: [],
  phases: [],
  bands: [],
  courseCaps: [],
  ageGates: [],
  pregnancy: "warn",
  lactation: "warn",
  donkey: "vet must set the schedule",
  blockedConditions: [],
  cautionConditions: [],
  conditionSource: RULE.memory,
  notWithSteroid: false,
  notWithNephrotoxic: false,
  review: { thenEveryDays: 14, source: RULE.resign },
  monitoring: [],
  cautions: [],
  handling: [],
  figures: [],
  version: FORMULARY_VERSION,
  reviewOn: FORMULARY_REVIEW_ON,
  ...entry,
});

/** One limit for every animal and day: mg/kg in any 24 h. */
export const dailyCeiling = (
  id: string,
  jurisdictions: readonly Jurisdiction[],
  mgPerKg: number,
  source: Source,
  more: Partial<Ceiling> = {},
): Ceiling => ({
  id,
  jurisdictions,
  windowHours: 24,
  mgPerKg,
  fromDay: 1,
  toDay: OPEN,
  source,
  ...more,
});

export const figure = (id: string, value: number, unit: string, source: Source): Figure => ({
  id,
  value,
  unit,
  source,
});

export const WEEK_DAYS = 7;
/** International pound, exact by definition. */
export const KG_PER_LB = 0.45359237;
