import type { Finding, Setting, Source } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";
import { HOUSE_CASE_RULES } from "./sources.ts";

const STEROID: Source = {
  id: "steroid-insulin",
  citation:
    "A steroid can raise insulin sharply in a horse with insulin trouble (nutrition research note)",
  status: "published",
};

export const STEROID_WATCH_SETTING: Setting<number> = {
  key: "cases.steroid-watch",
  value: 14,
  unit: "days",
  source: HOUSE_CASE_RULES,
  since: "2026-01-01",
  change: "tighten",
};

export interface SteroidFacts {
  readonly givenOn: LocalDate;
  /** Insulin trouble known or suspected, by result or by the vet's word. */
  readonly insulinRisk: boolean;
  readonly reason?: string;
}

export interface SteroidWatch {
  readonly fromOn: LocalDate;
  /** Last day of the watch. */
  readonly toOn: LocalDate;
}

/**
 * A steroid in a horse with insulin trouble needs a written reason and opens a watch of the feet.
 * The watch stands even while the reason is missing: the horse has had the steroid.
 */
export const judgeSteroid = (
  facts: SteroidFacts,
  setting: Setting<number> = STEROID_WATCH_SETTING,
): { readonly findings: readonly Finding[]; readonly watch?: SteroidWatch } => {
  if (!facts.insulinRisk) return { findings: [] };
  const explained = facts.reason !== undefined && facts.reason.trim() !== "";
  return {
    watch: { fromOn: facts.givenOn, toOn: addDays(facts.givenOn, setting.value) },
    findings: [
      {
        rule: "cases/steroid-insulin@1",
        outcome: explained ? "note" : "warn",
        detail: `Steroid in a horse with insulin trouble: check the feet daily for ${String(setting.value)} days${explained ? "" : "; write down the reason"}.`,
        source: STEROID,
        field: "/reason",
      },
    ],
  };
};
