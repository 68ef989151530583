import { useQuery } from "@tanstack/react-query";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../api/use-call.ts";
import { Card } from "../../components/card.tsx";
import { ChoiceField } from "../../components/field.tsx";
import { ErrorState, QueryView } from "../../components/states.tsx";

/** Whether vets and managers of the practice need a second factor. */
export const SignInPolicy = () => {
  const { t } = useTranslation("people");
  const factors = useQuery(read("listFactors", {}));
  const change = useWrite("changeSignInPolicy");
  return (
    <Card title={t("policy")}>
      <QueryView query={factors} lines={2}>
        {({ isPracticeRule }) => (
          <ChoiceField
            label={t("policyAsk")}
            hint={t("policyHint")}
            value={isPracticeRule ? "yes" : "no"}
            onChange={(next) => change.mutate({ body: { isSecondFactorRequired: next === "yes" } })}
            options={[
              { value: "no", label: t("policyNo") },
              { value: "yes", label: t("policyYes") },
            ]}
          />
        )}
      </QueryView>
      {change.error === null ? null : <ErrorState error={change.error} />}
    </Card>
  );
};
