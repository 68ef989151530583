import { Footprints, Printer, Undo2 } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { Forecasts } from "./forecast/forecasts.tsx";
import { ConsentTerms } from "./editor/consent-terms.tsx";
import { PlanEditor } from "./editor/plan-editor.tsx";
import { type Prescription, usePrescription } from "./queries.ts";
import { Conversation } from "./sheet/conversation.tsx";
import { PlanSheet, Standing } from "./sheet/plan-sheet.tsx";
import { WithdrawDialog } from "./sheet/withdraw-dialog.tsx";
import styles from "./sheet/sheet.module.css";
import { StatusBadge } from "./status-badge.tsx";

const Plan = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const isFarrier = useIsRole("farrier");
  const [isWithdrawing, setWithdrawing] = useState(false);
  const isDraft = plan.status === "draft";
  const canWithdraw = isVet && ["signed", "accepted", "queried", "declined"].includes(plan.status);
  return (
    <>
      <PageHeader
        title={t("pageTitle", { number: plan.number, horse: plan.horse.name })}
        lead={t("draftedBy", { name: plan.draftedBy.name })}
        back={{ href: `/cases/${plan.caseId}/prescriptions`, label: t("allPlans") }}
        beside={<StatusBadge status={plan.status} />}
        actions={
          <>
            {(["A4", "Letter"] as const).map((paper) => (
              <Button
                key={paper}
                look={paper === "A4" ? "plain" : "quiet"}
                icon={paper === "A4" ? <Printer aria-hidden /> : undefined}
                onClick={() =>
                  window.open(
                    addressOf("readPlanPage", {
                      params: { prescriptionId: plan.id },
                      query: { paper },
                    }),
                    "_blank",
                    "noopener",
                  )
                }
              >
                {t(`page.${paper}`)}
              </Button>
            ))}
            {canWithdraw ? (
              <Button
                look="quiet"
                icon={<Undo2 aria-hidden />}
                onClick={() => setWithdrawing(true)}
              >
                {t("withdraw")}
              </Button>
            ) : null}
            {isFarrier && plan.status === "accepted" ? (
              <ButtonLink
                href={`/shoeing/${plan.horseId}`}
                look="primary"
                icon={<Footprints aria-hidden />}
              >
                {t("recordDone")}
              </ButtonLink>
            ) : null}
          </>
        }
      />
      {isDraft && isVet ? (
        <>
          <div className="stack no-print">
            <Standing plan={plan} />
            <PlanEditor key={plan.id} plan={plan} />
            <ConsentTerms key={`terms ${plan.id}`} plan={plan} />
          </div>
          <div className={styles["onlyPrint"]}>
            <PlanSheet plan={plan} />
          </div>
        </>
      ) : (
        <div className="stack">
          {isDraft && !isFarrier ? <ConsentTerms plan={plan} /> : null}
          {isFarrier ? <Conversation plan={plan} /> : null}
          <PlanSheet plan={plan} />
          {isFarrier ? null : <Conversation plan={plan} />}
        </div>
      )}
      {/* From the day it is carried out on, the foot is forecast by its reset and no longer by the plan. */}
      {["done", "superseded", "withdrawn"].includes(plan.status) ? null : (
        <div className={`stack ${styles["forecasts"] ?? ""}`}>
          <Forecasts plan={plan} />
        </div>
      )}
      {plan.supersededAt === null ? null : (
        <p className="quiet">{t("supersededAt", { when: format.dateTime(plan.supersededAt) })}</p>
      )}
      {isWithdrawing ? <WithdrawDialog plan={plan} onClose={() => setWithdrawing(false)} /> : null}
    </>
  );
};

/** One plan: a draft to work on, or a signed sheet to read, answer, print and carry out. */
export const PrescriptionPage = () => {
  const plan = usePrescription(useParam("prescriptionId"));
  return (
    <QueryView query={plan} lines={10}>
      {(data) => <Plan plan={data} />}
    </QueryView>
  );
};
