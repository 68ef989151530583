import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Findings } from "../../components/findings.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { CallUrgency } from "./call-urgency.tsx";
import { SayList, VetNow } from "./first-question.tsx";

/** What the call means: how soon the vet must come, why, what to say, and what comes next. */
export const CallResult = ({
  answer,
  isDown,
}: {
  readonly answer: Answer<"takePhoneCall">;
  readonly isDown: boolean;
}) => {
  const { t } = useTranslation("cases");
  const { triage, case: found } = answer;
  return (
    <>
      <PageHeader
        title={t("call.result")}
        lead={found.horse.name}
        beside={<CallUrgency urgency={triage.urgency} />}
        actions={
          <>
            {triage.sendFirstAidSheet ? (
              <ButtonLink href={`/cases/${found.id}/first-aid`} look="primary">
                {t("call.toSheet")}
              </ButtonLink>
            ) : null}
            <ButtonLink href={`/cases/${found.id}`}>{t("call.toFile")}</ButtonLink>
          </>
        }
      />
      <div className="stack">
        {triage.urgency === "vet now" ? (
          <VetNow isDown={isDown} />
        ) : (
          <Card title={t("call.say")}>
            <SayList isDown={isDown} />
          </Card>
        )}
        <Card title={t(`call.urgency.${triage.urgency}`)}>
          <Findings findings={triage.findings} />
          {triage.sendFirstAidSheet ? <p>{t("call.sendSheet")}</p> : null}
        </Card>
      </div>
    </>
  );
};
