import type { Finding, Source } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";

const DEXAMETHASONE: Source = {
  id: "published/dexamethasone-acvim-2023",
  citation:
    "2023 ACVIM abstract: dexamethasone 0.08 mg/kg for 14 days, 5 of 33 horses with laminitis, predicted by insulin; larger cohorts saw under 1 % in healthy adults",
  status: "published",
};

/** Days of watch after a steroid in an animal at risk, where a practice sets none. Source: house rule. */
const STEROID_WATCH_DAYS = 14;

/**
 * Recording a steroid by any route. With high insulin, past laminitis or an unknown insulin the vet
 * writes a reason and a 14-day watch opens.
 */
export const steroidAlarm = (
  input: {
    readonly on: LocalDate;
    readonly insulinBand: "low" | "middle" | "high" | "not known";
    readonly conditions: readonly string[];
  },
  watchDays = STEROID_WATCH_DAYS,
): { readonly watchUntil: LocalDate | undefined; readonly finding: Finding } => {
  const risk =
    input.insulinBand === "high" ||
    input.insulinBand === "not known" ||
    ["previous laminitis", "insulin dysregulation", "PPID"].some((name) =>
      input.conditions.includes(name),
    );
  return {
    watchUntil: risk ? addDays(input.on, watchDays) : undefined,
    finding: {
      rule: "metabolic/steroid@1",
      outcome: risk ? "warn" : "note",
      detail: risk
        ? `Steroid in an animal at risk (insulin ${input.insulinBand}): the vet writes the reason; daily check of feet for ${String(watchDays)} days.`
        : "Steroid recorded.",
      source: DEXAMETHASONE,
    },
  };
};
