import type { FindingView } from "@heelward/contracts";
import { typedText } from "../../components/use-draft.ts";

/** The ceiling of the interval is answered in a field of its own. */
export const CEILING = "cycle/interval-ceiling@1";

/** What a person has done about one draft so far. */
export interface ReadBack {
  readonly isConfirmed: boolean;
  readonly opened: readonly string[];
  readonly reasons: Readonly<Record<string, string>>;
  readonly longer: string;
}

export const UNREAD: ReadBack = { isConfirmed: false, opened: [], reasons: {}, longer: "" };

/** Warnings that ask for a reason, each rule once. */
export const warningsOf = (findings: readonly FindingView[]): readonly FindingView[] =>
  findings.filter(
    (one, index) =>
      one.outcome === "warn" &&
      one.rule !== CEILING &&
      findings.findIndex((other) => other.rule === one.rule && other.outcome === "warn") === index,
  );

/** The reasons as the signature wants them; rules without one are left out. */
export const overridesOf = (
  findings: readonly FindingView[],
  { reasons }: ReadBack,
): { readonly rule: string; readonly reason: string }[] =>
  warningsOf(findings).flatMap(({ rule }) => {
    const reason = typedText(reasons[rule] ?? "");
    return reason === undefined ? [] : [{ rule, reason }];
  });

/** Whether the interval runs past its ceiling and so wants a reason. */
export const isPastCeiling = (findings: readonly FindingView[]): boolean =>
  findings.some((one) => one.rule === CEILING && one.outcome !== "pass");

/** What still stands between a draft and the confirmation; undefined when it may be confirmed. */
export const hindranceOf = (
  findings: readonly FindingView[],
  films: readonly string[],
  read: ReadBack,
): "blocked" | "openFilmsFirst" | "reasonsFirst" | undefined => {
  if (findings.some((one) => one.outcome === "block" && one.rule !== CEILING)) return "blocked";
  if (!films.every((id) => read.opened.includes(id))) return "openFilmsFirst";
  return overridesOf(findings, read).length < warningsOf(findings).length ||
    (isPastCeiling(findings) && typedText(read.longer) === undefined)
    ? "reasonsFirst"
    : undefined;
};
