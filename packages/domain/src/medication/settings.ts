import type { Setting, Source } from "../evidence/index.ts";
import { CEILING_TOLERANCE, NEAR_CEILING } from "./ceilings.ts";
import { SERIES_GAP_DAYS } from "./counted-doses.ts";
import { LABEL, RULE } from "./formulary/sources.ts";
import { ON_TIME_MINUTES } from "./judge-dose.ts";
import { TELL_VET_AFTER_MISSES } from "./ledger.ts";
import { NSAID_GAP_HOURS } from "./rules/company.ts";
import { RESTART_CLEAR_DAYS } from "./rules/limits.ts";
import { REWEIGH_ON_COURSE_DAYS, WEIGHT_MAX_AGE_DAYS, WEIGHT_RULE } from "./weight.ts";

const setting = (
  key: string,
  value: number,
  unit: string,
  source: Source,
  change: Setting<number>["change"],
): Setting<number> => ({
  key: `medication.${key}`,
  value,
  unit,
  source,
  since: "2026-01-01",
  change,
});

/** Every figure of the dose rules that belongs to no single drug, for the page that shows them. */
export const MEDICATION_SETTINGS: readonly Setting<number>[] = [
  setting(
    "ceiling-tolerance",
    CEILING_TOLERANCE,
    "times the printed limit",
    LABEL.pbzUkPowder,
    "fixed",
  ),
  setting("near-ceiling", NEAR_CEILING, "share of the limit", RULE.review, "tighten"),
  setting("nsaid-gap", NSAID_GAP_HOURS, "h", LABEL.pbzUkCautions, "fixed"),
  setting("series-gap", SERIES_GAP_DAYS, "days", RULE.review, "fixed"),
  setting("restart-clear", RESTART_CLEAR_DAYS, "days", RULE.pbzSwitch, "fixed"),
  setting("resign-every", 14, "days", RULE.resign, "tighten"),
  setting("weight-max-age", WEIGHT_MAX_AGE_DAYS, "days", WEIGHT_RULE, "tighten"),
  setting("reweigh-on-course", REWEIGH_ON_COURSE_DAYS, "days", WEIGHT_RULE, "fixed"),
  setting("on-time", ON_TIME_MINUTES, "min", RULE.review, "fixed"),
  setting("tell-vet-after-misses", TELL_VET_AFTER_MISSES, "doses", RULE.review, "fixed"),
];
