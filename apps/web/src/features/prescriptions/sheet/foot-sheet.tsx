import type { FootPlanView } from "@heelward/contracts";
import { planOutline } from "@heelward/domain/trim";
import { useTranslation } from "react-i18next";
import { FootSolar } from "../../../components/foot-solar.tsx";
import { useFormat } from "../../../language/format.ts";
import { useDeviceNames } from "../../../parts/planner-figures.ts";
import { PlanFromBelow } from "../plan/plan-from-below.tsx";
import type { FootBasis } from "../plan/plan-inputs.ts";
import { PlanOnFilm } from "../plan/plan-on-film.tsx";
import styles from "./sheet.module.css";

const Figure = ({
  label,
  value,
  unit,
  note,
}: {
  readonly label: string;
  readonly value: string;
  readonly unit: string;
  readonly note?: string | undefined;
}) => (
  <div className={styles["figure"]}>
    <dt>{label}</dt>
    <dd>
      <span className={styles["big"]}>{value}</span> {unit}
      {note === undefined ? null : <small>{note}</small>}
    </dd>
  </div>
);

/** One foot as the farrier works from it: three figures, what goes on, and both drawings. */
export const FootSheet = ({
  plan,
  basis,
}: {
  readonly plan: FootPlanView;
  readonly basis: FootBasis | undefined;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  const input = basis?.ok === true ? basis.input : undefined;
  const outline = input === undefined ? undefined : planOutline(input, plan);
  const device = useDeviceNames();
  const band = plan.palmarAngleTargetDegrees;
  return (
    <section className={styles["foot"]} aria-label={t(`common:foot.${plan.foot}`)}>
      <h2>{t(`common:foot.${plan.foot}`)}</h2>
      <dl className={styles["figures"]}>
        {plan.breakoverFromFrogTipMm === null ? (
          <Figure
            label={t("fig.breakoverP3")}
            value={format.number(plan.breakoverFromP3TipMm)}
            unit="mm"
            note={t("fig.noFrog")}
          />
        ) : (
          <Figure
            label={t("fig.breakoverFrog")}
            value={format.number(plan.breakoverFromFrogTipMm)}
            unit="mm"
            note={t("fig.fromP3", { mm: format.number(plan.breakoverFromP3TipMm) })}
          />
        )}
        <Figure label={t("fig.toe")} value={format.number(plan.toeBackMm)} unit="mm" />
        <Figure label={t("fig.heel")} value={format.number(plan.heelRemoveMm)} unit="mm" />
      </dl>
      <dl className={styles["lines"]}>
        <div>
          <dt>{t("shoe")}</dt>
          <dd>{device.shoe(plan.shoe)}</dd>
        </div>
        <div>
          <dt>{t("fill")}</dt>
          <dd>{device.fill(plan.supportFill)}</dd>
        </div>
        <div>
          <dt>{t("fixing")}</dt>
          <dd>{device.fixing(plan.fixing)}</dd>
        </div>
        <div>
          <dt>{t("soleMin")}</dt>
          <dd>{t("fig.sole", { mm: format.number(plan.soleMinMm) })}</dd>
        </div>
        <div>
          <dt>{t("fig.angle")}</dt>
          <dd>
            {format.number(band.low)}–{format.number(band.high)}°
          </dd>
        </div>
        <div>
          <dt>{t("wedge")}</dt>
          <dd>
            {plan.wedgeDegrees > 0
              ? t("fig.wedge", {
                  degrees: format.number(plan.wedgeDegrees),
                  reason: plan.wedgeReason ?? "",
                })
              : t("fig.noWedge")}
          </dd>
        </div>
        {plan.limitMm === null ? null : (
          <div>
            <dt>{t("limit")}</dt>
            <dd>{format.number(plan.limitMm)} mm</dd>
          </div>
        )}
        {plan.notes === null ? null : (
          <div>
            <dt>{t("footNotes")}</dt>
            <dd>{plan.notes}</dd>
          </div>
        )}
      </dl>
      <div className={styles["drawings"]}>
        {basis?.ok === true && outline !== undefined ? (
          <>
            <PlanOnFilm film={basis.film} shapes={outline.lateral} />
            <PlanFromBelow shapes={outline.solar} plan={plan} />
          </>
        ) : (
          <FootSolar
            foot={plan.foot}
            breakoverFromFrogTipMm={plan.breakoverFromFrogTipMm}
            withLabels
          />
        )}
      </div>
    </section>
  );
};
