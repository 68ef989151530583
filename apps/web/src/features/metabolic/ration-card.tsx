import type { FeedingPlanView } from "@heelward/contracts";
import { CircleX, Printer } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { Findings } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import { ReasonDialog } from "./reason-dialog.tsx";
import styles from "./metabolic.module.css";

/** The ration in force as the yard weighs it out. */
export const RationCard = ({ ration }: { readonly ration: FeedingPlanView }) => {
  const { t } = useTranslation(["recovery", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const [isEnding, setEnding] = useState(false);
  const end = useWrite("endFeedingPlan");
  const kg = (value: number) => `${format.number(value, 1)} kg`;
  return (
    <Card
      title={t("ration.title")}
      actions={
        <>
          <Button look="quiet" icon={<Printer aria-hidden />} onClick={() => window.print()}>
            {t("common:print")}
          </Button>
          {isVet ? (
            <Button look="quiet" icon={<CircleX aria-hidden />} onClick={() => setEnding(true)}>
              {t("ration.end")}
            </Button>
          ) : null}
        </>
      }
    >
      {isEnding ? (
        <ReasonDialog
          title={t("ration.endTitle", { horse: ration.horse.name })}
          label={t("ration.end")}
          problem={end.error}
          isBusy={end.isPending}
          onClose={() => setEnding(false)}
          onReason={(reason) =>
            end.mutate(
              { params: { planId: ration.id }, ifMatch: ration.version, body: { reason } },
              { onSuccess: () => setEnding(false) },
            )
          }
        />
      ) : null}
      <div className="stack">
        <p className={styles["big"]}>
          <strong>{kg(ration.plan.asFedKg)}</strong>{" "}
          {t("ration.perDay", { forage: t(`ration.forages.${ration.forage as "hay"}`) })}
        </p>
        <p>{t("ration.never", { kg: kg(ration.plan.floorAsFedKg) })}</p>
        <ul>
          {ration.plan.instructions.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
        {ration.instructions === null ? null : <p>{ration.instructions}</p>}
        <Facts
          items={[
            [
              t("ration.share"),
              t("ration.shareText", {
                percent: format.number(ration.dryMatterPercent, 2),
                kg: format.number(ration.weightKg, 0),
                dry: kg(ration.plan.dryMatterKg),
              }),
            ],
            [
              t("ration.dryShare"),
              t("ration.dryShareText", { percent: format.number(ration.dryShare * 100, 0) }),
            ],
            [
              t("ration.weekly"),
              t("ration.weeklyText", {
                least: format.number(ration.plan.weeklyLossKg.least, 1),
                most: format.number(ration.plan.weeklyLossKg.most, 1),
              }),
            ],
            ...(ration.targetWeightKg === null
              ? []
              : [[t("weight.target"), `${format.number(ration.targetWeightKg, 0)} kg`] as const]),
            [t("ration.grass"), t(ration.grazing ? "ration.grassYes" : "ration.grassNo")],
            [
              t("ration.signed"),
              t("ration.signedText", {
                name: ration.signedBy.name,
                date: format.day(ration.signedAt),
              }),
            ],
          ]}
        />
        <Findings findings={ration.findings} hidePasses />
      </div>
    </Card>
  );
};
