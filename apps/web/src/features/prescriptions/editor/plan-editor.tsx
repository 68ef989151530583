import { PenLine, Save, Trash2 } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { DecimalField } from "../../../components/decimal-field.tsx";
import { CheckField, TextArea } from "../../../components/field.tsx";
import { Findings } from "../../../components/findings.tsx";
import { Form } from "../../../components/form.tsx";
import { FootCard } from "../plan/foot-card.tsx";
import { contentOf, doNotsFrom, type PlanContent, withFoot } from "../plan/plan-draft.ts";
import { type Prescription, usePlanBasis } from "../queries.ts";
import { WithdrawDialog } from "../sheet/withdraw-dialog.tsx";
import { ConditionsFields } from "./conditions-fields.tsx";
import { DoNotFields } from "./do-not-fields.tsx";
import styles from "./editor.module.css";
import { SignDialog } from "./sign-dialog.tsx";

/** A draft while the vet works on it. */
export const PlanEditor = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const change = useWrite("changePrescription");
  const [content, setContent] = useState<PlanContent>(() => contentOf(plan));
  const [kept, setKept] = useState(content);
  const [open, setOpen] = useState<"sign" | "withdraw">();
  const basis = usePlanBasis({ ...plan, ...content } as Prescription);
  const isChanged = content !== kept;
  const set =
    <K extends keyof PlanContent>(name: K) =>
    (value: PlanContent[K]) =>
      setContent({ ...content, [name]: value });
  const save = (then?: () => void) =>
    change.mutate(
      { params: { prescriptionId: plan.id }, body: content, ifMatch: plan.version },
      {
        onSuccess: () => {
          setKept(content);
          then?.();
        },
      },
    );
  const inputs = [...(basis?.values() ?? [])].flatMap((one) => (one.ok ? [one.input] : []));
  return (
    <>
      <Form problem={change.error} onSubmit={() => save()} footer={null}>
        <Card title={t("aim")}>
          <TextArea
            label={t("aimLabel")}
            name="aim"
            maxLength={500}
            required
            value={content.aim}
            onChange={set("aim")}
          />
        </Card>
        {content.feet.map((foot, index) => (
          <FootCard
            key={foot.foot}
            plan={foot as never}
            index={index}
            basis={basis?.get(foot.foot)}
            onChange={(next) => setContent((before) => withFoot(before, next))}
          />
        ))}
        <Card title={t("doNots")}>
          <DoNotFields
            lines={content.doNot}
            offered={doNotsFrom(content, inputs)}
            onChange={set("doNot")}
          />
        </Card>
        <Card title={t("conditions")}>
          <ConditionsFields
            value={content.conditions}
            hasWedge={content.feet.some((foot) => (foot.wedgeDegrees ?? 0) > 0)}
            onChange={set("conditions")}
          />
        </Card>
        <Card title={t("after")}>
          <div className="columns">
            <DecimalField
              label={t("interval")}
              name="intervalDays"
              unit={t("daysUnit")}
              hint={
                inputs[0] === undefined
                  ? undefined
                  : t("intervalHint", { most: inputs[0].ceilingDays })
              }
              value={content.intervalDays}
              onChange={(days) =>
                days === null ? undefined : set("intervalDays")(Math.round(days))
              }
            />
            <CheckField label={t("urgent")} value={content.urgent} onChange={set("urgent")} />
          </div>
        </Card>
        <Card title={t("checks")}>
          {isChanged ? (
            <p className="quiet">{t("checksAfterSave")}</p>
          ) : (
            <Findings findings={plan.findings} hidePasses />
          )}
        </Card>
        <div className={styles["bar"]}>
          <Button
            type="submit"
            icon={<Save aria-hidden />}
            isBusy={change.isPending}
            disabled={!isChanged}
          >
            {isChanged ? t("saveDraft") : t("common:saved")}
          </Button>
          <Button
            look="primary"
            icon={<PenLine aria-hidden />}
            disabled={change.isPending}
            onClick={() => {
              if (isChanged) save(() => setOpen("sign"));
              else setOpen("sign");
            }}
          >
            {t("signPlan")}
          </Button>
          <Button look="quiet" icon={<Trash2 aria-hidden />} onClick={() => setOpen("withdraw")}>
            {t("withdraw")}
          </Button>
          <output className="quiet small">
            {change.error === null
              ? isChanged
                ? t("unsaved")
                : t("draftKept")
              : t("notSaved", { why: change.error.message })}
          </output>
        </div>
      </Form>
      {open === "sign" ? <SignDialog plan={plan} onClose={() => setOpen(undefined)} /> : null}
      {open === "withdraw" ? (
        <WithdrawDialog plan={plan} onClose={() => setOpen(undefined)} />
      ) : null}
    </>
  );
};
