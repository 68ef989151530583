import type { FootPlanView } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { CheckField, SelectField, TextArea } from "../../components/field.tsx";
import { FootSolar } from "../../components/foot-solar.tsx";
import { useFormat } from "../../language/format.ts";
import { useDeviceNames, useDeviceOptions } from "../../parts/planner-figures.ts";
import type { FootDraft } from "./as-done.ts";
import { MmStepper } from "./mm-stepper.tsx";
import styles from "./shoeing.module.css";

/** One foot: two figures; everything else only if it was different. */
export const FootDoneCard = ({
  foot,
  index,
  plan,
  onChange,
}: {
  readonly foot: FootDraft;
  readonly index: number;
  readonly plan: FootPlanView | undefined;
  readonly onChange: (foot: FootDraft) => void;
}) => {
  const { t } = useTranslation(["shoeing", "common"]);
  const format = useFormat();
  const device = useDeviceNames();
  const options = useDeviceOptions(foot);
  const fromFrog = plan !== undefined && plan.breakoverFromFrogTipMm !== null;
  const aimed =
    plan === undefined ? undefined : (plan.breakoverFromFrogTipMm ?? plan.breakoverFromP3TipMm);
  const pointer = `feet/${String(index)}/`;
  const words = [
    device.shoe(foot.shoe),
    device.fill(foot.supportFill),
    device.fixing(foot.fixing),
  ].join(" · ");
  return (
    <Card title={t(`common:foot.${foot.foot}`)}>
      <div className={styles["foot"]}>
        <div className={styles["small"]}>
          <FootSolar
            foot={foot.foot}
            breakoverFromFrogTipMm={fromFrog ? foot.breakoverMm : undefined}
          />
        </div>
        <div className="stack">
          <MmStepper
            label={fromFrog ? t("breakoverFrog") : t("breakoverP3")}
            name={`${pointer}breakoverAfterMm`}
            hint={aimed === undefined ? undefined : t("planned", { mm: format.number(aimed) })}
            min={-20}
            max={120}
            start={aimed ?? 20}
            value={foot.breakoverMm}
            onChange={(breakoverMm) => onChange({ ...foot, breakoverMm })}
          />
          <MmStepper
            label={t("heelOff")}
            name={`${pointer}heelRemovedMm`}
            hint={
              plan === undefined
                ? undefined
                : t("planned", { mm: format.number(plan.heelRemoveMm) })
            }
            min={0}
            max={40}
            start={plan?.heelRemoveMm ?? 0}
            value={foot.heelRemovedMm}
            onChange={(heelRemovedMm) => onChange({ ...foot, heelRemovedMm })}
          />
        </div>
      </div>
      <p className={styles["device"]}>{words}</p>
      <details className={styles["different"]}>
        <summary>{t("different")}</summary>
        <div className="stack">
          <SelectField
            label={t("shoe")}
            name={`${pointer}shoe`}
            value={foot.shoe}
            onChange={(shoe) => onChange({ ...foot, shoe })}
            options={options.shoes}
          />
          <SelectField
            label={t("fill")}
            name={`${pointer}supportFill`}
            value={foot.supportFill}
            onChange={(supportFill) => onChange({ ...foot, supportFill })}
            options={options.fills}
          />
          <SelectField
            label={t("fixing")}
            name={`${pointer}fixing`}
            value={foot.fixing}
            onChange={(fixing) => onChange({ ...foot, fixing })}
            options={options.fixings}
          />
          <CheckField
            label={t("soleTouched")}
            value={foot.soleTouched}
            onChange={(soleTouched) => onChange({ ...foot, soleTouched })}
          />
          <MmStepper
            label={t("breakoverBefore")}
            min={-20}
            max={120}
            start={aimed ?? 30}
            value={foot.breakoverBeforeMm}
            onChange={(breakoverBeforeMm) => onChange({ ...foot, breakoverBeforeMm })}
          />
          <MmStepper
            label={t("newGrowth")}
            hint={t("newGrowthHint")}
            min={0}
            max={150}
            start={10}
            step={1}
            value={foot.newGrowthLineMm}
            onChange={(newGrowthLineMm) => onChange({ ...foot, newGrowthLineMm })}
          />
          <MmStepper
            label={t("wedge")}
            unit="°"
            min={0}
            max={15}
            start={0}
            value={foot.wedgeDegrees}
            onChange={(wedge) => onChange({ ...foot, wedgeDegrees: wedge ?? 0 })}
          />
          <TextArea
            label={t("footNotes")}
            name={`${pointer}notes`}
            isOptional
            maxLength={1000}
            value={foot.notes}
            onChange={(notes) => onChange({ ...foot, notes })}
          />
        </div>
      </details>
    </Card>
  );
};
