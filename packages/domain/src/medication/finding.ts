import type { Finding, Outcome, Source } from "../evidence/index.ts";
import type { Override } from "./types.ts";

/** One sentence about one medication rule. */
export const found = (
  rule: string,
  outcome: Outcome,
  detail: string,
  source: Source,
  field?: string,
): Finding => ({
  rule: `medication/${rule}@1`,
  outcome,
  detail,
  source,
  ...(field === undefined ? {} : { field }),
});

const bare = (rule: string): string => rule.replace(/@\d+$/u, "");

/** True when a vet wrote a reason of at least one word against this rule. */
export const hasReason = (rule: string, overrides: readonly Override[] | undefined): boolean =>
  (overrides ?? []).some(
    (override) => bare(override.rule) === bare(rule) && override.reason.trim().length > 0,
  );

/** The warnings that still need a vet's written reason before a signature. */
export const missingReasons = (
  findings: readonly Finding[],
  overrides: readonly Override[] | undefined,
): readonly Finding[] =>
  findings.filter((finding) => finding.outcome === "warn" && !hasReason(finding.rule, overrides));

/** A figure for people: three significant digits for small numbers, two decimals otherwise. */
const figureText = (value: number): string =>
  value !== 0 && Math.abs(value) < 0.1 ? String(Number(value.toPrecision(3))) : value.toFixed(2);

/** mg/kg, or micrograms/kg where that is how the drug is dosed. */
export const doseRateText = (mgPerKg: number): string =>
  Math.abs(mgPerKg) < 0.02
    ? `${(mgPerKg * 1000).toFixed(2)} µg/kg`
    : `${figureText(mgPerKg)} mg/kg`;

/** Milligrams as a person writes them. */
export const mgText = (mg: number): string => `${String(Number(mg.toFixed(mg < 10 ? 2 : 0)))} mg`;

/** What a person wrote, to stand inside a sentence: without its own full stop. */
export const asClause = (words: string): string => words.trim().replace(/[\s.;,:]+$/u, "");
