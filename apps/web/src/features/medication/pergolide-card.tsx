import type { CourseView } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { NumberField } from "../../components/field.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { ErrorState } from "../../components/states.tsx";
import { typedNumber } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { usePergolidePlan } from "./queries.ts";
import { useRested } from "./use-rested.ts";

const TONES = { vet: "fine", "clinical lead": "today", refused: "now" } as const;

/** Titration of pergolide: who must sign a dose, when the blood is due, the steps after intolerance. */
export const PergolideCard = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const [dose, setDose] = useState(() => String(course.steps.at(-1)?.doseMg ?? 0.5));
  const asked = typedNumber(useRested(dose));
  const plan = usePergolidePlan(course.horseId, asked);
  return (
    <Card title={t("pergolide.title")}>
      <div className="stack">
        <NumberField
          label={t("pergolide.dose")}
          name="doseMg"
          unit="mg"
          hint={t("pergolide.hint")}
          value={dose}
          onChange={setDose}
        />
        {plan.error === null ? null : <ErrorState error={plan.error} />}
        {plan.data === undefined ? null : (
          <>
            <Facts
              items={[
                [
                  t("pergolide.rate"),
                  <span key="rate" className="row">
                    {format.number(plan.data.microgramsPerKg, 2)} µg/kg
                    <Badge tone={TONES[plan.data.needs]}>
                      {t(`pergolide.needs.${plan.data.needs}`)}
                    </Badge>
                  </span>,
                ],
                [
                  t("pergolide.retest"),
                  t("pergolide.window", {
                    from: format.date(plan.data.retestFrom),
                    to: format.date(plan.data.retestBy),
                  }),
                ],
                [
                  t("pergolide.start"),
                  plan.data.startMg === null
                    ? t("pergolide.noStart")
                    : t("pergolide.startText", {
                        mg: format.number(plan.data.startMg, 2),
                        kg: format.number(plan.data.weightKg, 0),
                      }),
                ],
                [
                  t("pergolide.intolerance"),
                  <ol key="steps">
                    {plan.data.afterIntolerance.map((step) => (
                      <li key={step.from}>
                        {t(step.doseMg === 0 ? "pergolide.pause" : "pergolide.step", {
                          date: format.date(step.from),
                          mg: format.number(step.doseMg, 2),
                        })}
                      </li>
                    ))}
                  </ol>,
                ],
              ]}
            />
            <SourceNote source={plan.data.source} />
          </>
        )}
      </div>
    </Card>
  );
};
