/**
 * How far a figure can be trusted, and how a rule reports what it found.
 *
 * Every threshold in this package carries a {@link Source}; every rule answers with
 * {@link Finding}s. Expected refusals are data; exceptions mean a bug.
 */

/**
 * Where a figure comes from.
 * - `published`: read in a paper or book; `label`: product label or data sheet; `law`; `standard`
 * - `derived`: arithmetic from the above
 * - `common practice`: what the trade does, no source
 * - `house rule`: our own starting value, to be confirmed by the practice
 * - `from memory`: recalled, not checked; shown as unverified until a vet confirms it
 */
export type EvidenceStatus =
  | "published"
  | "label"
  | "law"
  | "standard"
  | "derived"
  | "common practice"
  | "house rule"
  | "from memory";

/** A citation with its standing. */
export interface Source {
  readonly id: string;
  readonly citation: string;
  readonly status: EvidenceStatus;
  readonly url?: string;
}

/** `block` stops the action; `warn` needs a written reason; `note` informs; `pass` was checked and is fine. */
export type Outcome = "pass" | "note" | "warn" | "block";

/** What one rule said about one question. `rule` is `area/statement@version`. */
export interface Finding {
  readonly rule: string;
  readonly outcome: Outcome;
  /** One plain sentence for the person, with the figures that decided it. */
  readonly detail: string;
  readonly source: Source;
  /** JSON pointer into the request, where one field is to blame. */
  readonly field?: string;
}

/** The value, or the findings that forbid it. Findings ride along either way. */
export type Judged<T> =
  | { readonly ok: true; readonly value: T; readonly findings: readonly Finding[] }
  | { readonly ok: false; readonly findings: readonly Finding[] };

/** A figure that a practice may change, dated and with where it came from. */
export interface Setting<T> {
  readonly key: string;
  readonly value: T;
  readonly unit: string;
  readonly source: Source;
  /** Local date from which this value holds (`YYYY-MM-DD`). */
  readonly since: string;
  /** `tighten` means a practice may only make the rule stricter. */
  readonly change: "free" | "tighten" | "fixed";
}

/** True when no finding blocks. */
export const isAllowed = (findings: readonly Finding[]): boolean =>
  findings.every((finding) => finding.outcome !== "block");

export { valuesOf, withOwnFigures, type Figures, type OwnFigures } from "./own-figures.ts";
