import type { FindingView } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { TextArea } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { typedText } from "../../components/use-draft.ts";

export interface Reason {
  readonly rule: string;
  readonly reason: string;
}

/** Warnings that ask for a written reason, one per rule. */
export const warningsOf = (findings: readonly FindingView[]): readonly FindingView[] =>
  findings.filter(
    (finding, index) =>
      finding.outcome === "warn" &&
      findings.findIndex((one) => one.outcome === "warn" && one.rule === finding.rule) === index,
  );

/** The reasons typed for warnings, by rule. */
export const useReasons = () => {
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>({});
  return {
    of: (rule: string) => typed[rule] ?? "",
    set: (rule: string, text: string) => setTyped((before) => ({ ...before, [rule]: text })),
    overridesFor: (warnings: readonly FindingView[]): Reason[] =>
      warnings.flatMap(({ rule }) => {
        const reason = typedText(typed[rule] ?? "");
        return reason === undefined ? [] : [{ rule, reason }];
      }),
  };
};

/** Each warning with room for the reason why it is gone against; one reason answers one rule. */
export const ReasonFields = ({
  findings,
  reasons,
}: {
  readonly findings: readonly FindingView[];
  readonly reasons: ReturnType<typeof useReasons>;
}) => {
  const { t } = useTranslation("medication");
  return warningsOf(findings).map(({ rule }, index) => (
    <div key={rule} className="stack-tight">
      <Findings findings={findings.filter((one) => one.outcome === "warn" && one.rule === rule)} />
      <TextArea
        label={t("overrideFor")}
        name={`overrides/${String(index)}/reason`}
        rows={2}
        value={reasons.of(rule)}
        onChange={(text) => reasons.set(rule, text)}
      />
    </div>
  ));
};
