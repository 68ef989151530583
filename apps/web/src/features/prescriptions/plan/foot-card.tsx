import type { FootPlanView } from "@heelward/contracts";
import { planOutline, trimOutcome } from "@heelward/domain/trim";
import { RotateCcw } from "lucide-react";
import { useMemo } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { DecimalField } from "../../../components/decimal-field.tsx";
import { TextArea } from "../../../components/field.tsx";
import { Link } from "../../../components/link.tsx";
import { useFormat } from "../../../language/format.ts";
import { AmountSlider } from "./amount-slider.tsx";
import { DeviceFields } from "./device-fields.tsx";
import styles from "./foot-card.module.css";
import { OutcomeFacts } from "./outcome-facts.tsx";
import { proposedFoot, withHeel, withToeBack } from "./plan-draft.ts";
import { PlanFromBelow } from "./plan-from-below.tsx";
import type { FootBasis } from "./plan-inputs.ts";
import { PlanOnFilm } from "./plan-on-film.tsx";
import { PlannerSays } from "./planner-says.tsx";

const WEDGE_MOST_DEGREES = 15;
const HEEL_MOST_MM = 15;
const TOE_MOST_MM = 45;

/** One foot of a plan: drawn on its film and from below, set in millimetres, worked out while it is set. */
export const FootCard = ({
  plan,
  index,
  basis,
  onChange,
}: {
  readonly plan: FootPlanView;
  readonly index: number;
  readonly basis: FootBasis | undefined;
  readonly onChange: (plan: FootPlanView) => void;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  const pointer = `feet/${String(index)}/`;
  const input = useMemo(
    () =>
      basis?.ok === true
        ? {
            ...basis.input,
            shoe: plan.shoe,
            supportFill: plan.supportFill,
            fixing: plan.fixing,
            targets: {
              palmarAngleDegrees: plan.palmarAngleTargetDegrees,
              soleMinMm: plan.soleMinMm,
            },
          }
        : undefined,
    [
      basis,
      plan.shoe,
      plan.supportFill,
      plan.fixing,
      plan.palmarAngleTargetDegrees,
      plan.soleMinMm,
    ],
  );
  const outcome = input === undefined ? undefined : trimOutcome(input, plan);
  const outline = input === undefined ? undefined : planOutline(input, plan);
  const proposed = input === undefined ? undefined : proposedFoot(input, plan.limitMm);
  const band = (end: "low" | "high") => (value: number | null) => {
    if (value !== null)
      onChange({
        ...plan,
        palmarAngleTargetDegrees: { ...plan.palmarAngleTargetDegrees, [end]: value },
      });
  };
  return (
    <Card
      title={t(`common:foot.${plan.foot}`)}
      actions={
        proposed === undefined ? undefined : (
          <Button
            look="quiet"
            icon={<RotateCcw aria-hidden />}
            onClick={() =>
              onChange({
                ...plan,
                toeBackMm: proposed.toeBackMm,
                heelRemoveMm: proposed.heelRemoveMm,
                breakoverFromP3TipMm: proposed.breakoverFromP3TipMm,
                breakoverFromFrogTipMm: proposed.breakoverFromFrogTipMm,
              })
            }
          >
            {t("toProposal")}
          </Button>
        )
      }
    >
      <div className={styles["card"]}>
        <div className={styles["drawings"]}>
          {basis === undefined ? <p className="quiet">{t("noFilm")}</p> : null}
          {basis?.ok === false ? (
            <p>
              {t("lacking", { items: format.list(basis.lacking) })}{" "}
              <Link href={`/films/${basis.film.radiograph.id}`}>{t("openFilm")}</Link>
            </p>
          ) : null}
          {basis?.ok === true && outline !== undefined ? (
            <>
              <PlanOnFilm film={basis.film} shapes={outline.lateral} />
              <p className="quiet small row">
                {t("filmFrom", { date: format.day(basis.film.radiograph.takenAt) })}
                <Link href={`/films/${basis.film.radiograph.id}`}>{t("openFilm")}</Link>
              </p>
              <PlanFromBelow shapes={outline.solar} plan={plan} />
            </>
          ) : null}
        </div>
        <div className={styles["amounts"]}>
          <AmountSlider
            label={t("toeBack")}
            name={`${pointer}toeBackMm`}
            unit="mm"
            max={TOE_MOST_MM}
            value={plan.toeBackMm}
            hint={t("toeBackHint", {
              p3: format.number(plan.breakoverFromP3TipMm),
              frog:
                plan.breakoverFromFrogTipMm === null
                  ? t("frogUnknown")
                  : t("frogKnown", { mm: format.number(plan.breakoverFromFrogTipMm) }),
            })}
            onChange={(mm) => onChange(withToeBack(plan, mm, input))}
          />
          <AmountSlider
            label={t("heelOff")}
            name={`${pointer}heelRemoveMm`}
            unit="mm"
            max={HEEL_MOST_MM}
            value={plan.heelRemoveMm}
            hint={
              proposed === undefined
                ? undefined
                : t("proposedWords", {
                    heel: format.number(proposed.heelRemoveMm),
                    toe: format.number(proposed.toeBackMm),
                  })
            }
            onChange={(mm) => onChange(withHeel(plan, mm))}
          />
          {input === undefined || outcome === undefined ? null : (
            <OutcomeFacts input={input} plan={plan} outcome={outcome} />
          )}
          <DeviceFields
            value={plan}
            pointer={pointer}
            onChange={(device) => onChange({ ...plan, ...device })}
          />
          <details>
            <summary>{t("targets")}</summary>
            <div className="columns">
              <DecimalField
                label={t("bandLow")}
                unit="°"
                name={`${pointer}palmarAngleTargetDegrees/low`}
                value={plan.palmarAngleTargetDegrees.low}
                onChange={band("low")}
              />
              <DecimalField
                label={t("bandHigh")}
                unit="°"
                name={`${pointer}palmarAngleTargetDegrees/high`}
                value={plan.palmarAngleTargetDegrees.high}
                onChange={band("high")}
              />
              <DecimalField
                label={t("soleMin")}
                unit="mm"
                name={`${pointer}soleMinMm`}
                value={plan.soleMinMm}
                onChange={(soleMinMm) =>
                  soleMinMm === null ? undefined : onChange({ ...plan, soleMinMm })
                }
              />
              <DecimalField
                label={t("limit")}
                unit="mm"
                isOptional
                hint={t("limitHint")}
                name={`${pointer}limitMm`}
                value={plan.limitMm ?? null}
                onChange={(limitMm) => onChange({ ...plan, limitMm })}
              />
            </div>
          </details>
          <AmountSlider
            label={t("wedge")}
            name={`${pointer}wedgeDegrees`}
            unit="°"
            max={WEDGE_MOST_DEGREES}
            value={plan.wedgeDegrees ?? 0}
            hint={t("wedgeHint")}
            onChange={(wedgeDegrees) => onChange({ ...plan, wedgeDegrees })}
          />
          {(plan.wedgeDegrees ?? 0) > 0 ? (
            <TextArea
              label={t("wedgeReason")}
              name={`${pointer}wedgeReason`}
              maxLength={500}
              value={plan.wedgeReason ?? ""}
              onChange={(text) => onChange({ ...plan, wedgeReason: text === "" ? null : text })}
            />
          ) : null}
          <TextArea
            label={t("footNotes")}
            name={`${pointer}notes`}
            isOptional
            maxLength={1000}
            value={plan.notes ?? ""}
            onChange={(text) => onChange({ ...plan, notes: text === "" ? null : text })}
          />
          {input === undefined || outcome === undefined ? null : (
            <PlannerSays input={input} plan={plan} outcome={outcome} />
          )}
        </div>
      </div>
    </Card>
  );
};
