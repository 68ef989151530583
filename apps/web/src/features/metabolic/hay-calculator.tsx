import type { Horse } from "@heelward/contracts";
import { PenLine } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { CheckField, ChoiceField, NumberField, TextArea } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { Form } from "../../components/form.tsx";
import { ErrorState } from "../../components/states.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { useRationCheck } from "./queries.ts";
import styles from "./metabolic.module.css";

type Forage = "hay" | "haylage";
/** Dry matter to start from where nobody measured it. Source: Equine Veterinary Education, September 2018 (hay 85-90 %, haylage 50-70 %). */
const USUAL_DRY_PERCENT: Readonly<Record<Forage, string>> = { hay: "85", haylage: "60" };

interface RationDraft {
  readonly percent: string;
  readonly forage: Forage;
  readonly dryPercent: string;
  readonly soakHours: string;
  readonly grazing: boolean;
  readonly offFeedHours: string;
  readonly targetWeightKg: string;
  readonly instructions: string;
}

const bodyOf = (draft: RationDraft): Body<"judgeFeedingPlan"> | undefined => {
  const [percent, dry] = [typedNumber(draft.percent), typedNumber(draft.dryPercent)];
  if (percent === undefined || dry === undefined) return undefined;
  const soakHours = typedNumber(draft.soakHours);
  const offFeedHours = typedNumber(draft.offFeedHours);
  return {
    dryMatterPercent: percent,
    forage: draft.forage,
    dryShare: dry / 100,
    grazing: draft.grazing,
    ...(soakHours === undefined ? {} : { soakHours }),
    ...(offFeedHours === undefined ? {} : { offFeedHours }),
  };
};

/** How much hay that is, and what stands against it; a vet signs it as the ration. */
export const HayCalculator = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation(["recovery", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const sign = useWrite("signFeedingPlan");
  const [draft, set, setDraft] = useDraft<RationDraft>({
    percent: "1.5",
    forage: "hay",
    dryPercent: USUAL_DRY_PERCENT.hay,
    soakHours: "",
    grazing: false,
    offFeedHours: "",
    targetWeightKg: "",
    instructions: "",
  });
  const body = bodyOf(draft);
  const check = useRationCheck(horse.id, body);
  const answer = body === undefined ? undefined : check.data;
  const signable =
    answer !== undefined &&
    answer.findings.every(
      (one) => one.outcome !== "block" || one.rule.startsWith("metabolic/ration-low"),
    );
  return (
    <Card title={t("hay.title")} className="no-print">
      <Form
        problem={sign.error}
        onSubmit={() => {
          if (body === undefined) return;
          const target = typedNumber(draft.targetWeightKg);
          const instructions = typedText(draft.instructions);
          sign.mutate({
            params: { horseId: horse.id },
            body: {
              ...body,
              ...(target === undefined ? {} : { targetWeightKg: target }),
              ...(instructions === undefined ? {} : { instructions }),
            },
          });
        }}
        footer={
          isVet ? (
            <>
              <Button
                type="submit"
                look="primary"
                icon={<PenLine aria-hidden />}
                isBusy={sign.isPending}
                disabled={!signable}
              >
                {t("hay.sign")}
              </Button>
              <span className="quiet small">{t("hay.signMeans")}</span>
            </>
          ) : (
            <span className="quiet small">{t("hay.onlyVet")}</span>
          )
        }
      >
        <div className="columns">
          <NumberField
            label={t("hay.percent")}
            name="dryMatterPercent"
            unit="%"
            hint={t("hay.percentHint")}
            value={draft.percent}
            onChange={set("percent")}
          />
          <ChoiceField
            label={t("hay.forage")}
            name="forage"
            value={draft.forage}
            onChange={(forage) =>
              setDraft({ ...draft, forage, dryPercent: USUAL_DRY_PERCENT[forage] })
            }
            options={(["hay", "haylage"] as const).map((value) => ({
              value,
              label: t(`ration.forages.${value}`),
            }))}
          />
          <NumberField
            label={t("hay.dry")}
            name="dryShare"
            unit="%"
            hint={t("hay.dryHint")}
            value={draft.dryPercent}
            onChange={set("dryPercent")}
          />
        </div>
        <div className="columns">
          <NumberField
            label={t("hay.soak")}
            name="soakHours"
            unit="h"
            isOptional
            value={draft.soakHours}
            onChange={set("soakHours")}
          />
          <NumberField
            label={t("hay.offFeed")}
            name="offFeedHours"
            unit="h"
            isOptional
            hint={t("hay.offFeedHint")}
            value={draft.offFeedHours}
            onChange={set("offFeedHours")}
          />
          {isVet ? (
            <NumberField
              label={t("weight.target")}
              name="targetWeightKg"
              unit="kg"
              isOptional
              value={draft.targetWeightKg}
              onChange={set("targetWeightKg")}
            />
          ) : null}
        </div>
        <CheckField
          label={t("hay.grazing")}
          name="grazing"
          value={draft.grazing}
          onChange={set("grazing")}
        />
        {isVet ? (
          <TextArea
            label={t("hay.words")}
            name="instructions"
            isOptional
            rows={2}
            value={draft.instructions}
            onChange={set("instructions")}
          />
        ) : null}
        {check.error === null ? null : <ErrorState error={check.error} />}
        {answer === undefined ? null : (
          <div className="stack-tight" aria-live="polite">
            {answer.plan === null ? null : (
              <p className={styles["big"]}>
                <strong>{format.number(answer.plan.asFedKg, 1)} kg</strong>{" "}
                {t("hay.perDay", {
                  forage: t(`ration.forages.${draft.forage}`),
                  kg: format.number(answer.weightKg, 0),
                })}
              </p>
            )}
            <Findings findings={answer.findings} hidePasses />
          </div>
        )}
      </Form>
    </Card>
  );
};
