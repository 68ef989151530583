import type { CoursePlan } from "@heelward/domain/medication";
import { FlaskConical, Scale } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Facts } from "../../components/data-list.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./medication.module.css";

type Step = CoursePlan["steps"][number];

const MICROGRAMS_BELOW = 0.02;

/** Grams above a thousand milligrams, else milligrams. */
export const useAmount = () => {
  const format = useFormat();
  return (mg: number) =>
    mg >= 1000 ? `${format.number(mg / 1000, 2)} g` : `${format.number(mg, 2)} mg`;
};

/** mg/kg, or micrograms where that is how the medicine is dosed. */
export const useRate = () => {
  const format = useFormat();
  return (mgPerKg: number) =>
    Math.abs(mgPerKg) < MICROGRAMS_BELOW
      ? `${format.number(mgPerKg * 1000, 2)} µg/kg`
      : `${format.number(mgPerKg, 2)} mg/kg`;
};

/** One unit for a whole table: the heaviest step decides. */
const unitOf = (plan: CoursePlan) =>
  Math.max(...plan.steps.map((step) => step.perDay.bestMgPerKg)) < MICROGRAMS_BELOW
    ? { name: "µg/kg", factor: 1000 }
    : { name: "mg/kg", factor: 1 };

const StepRate = ({ plan, step }: { readonly plan: CoursePlan; readonly step: Step }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const { factor } = unitOf(plan);
  const rate = (mgPerKg: number) => format.number(mgPerKg * factor, 2);
  const amount = useAmount();
  const isLast = step.toDay;
  return (
    <tr>
      <th scope="row">
        {step.fromDay === isLast ? step.fromDay : `${String(step.fromDay)}–${String(isLast)}`}
        {step.everyDays === 1 ? null : (
          <div className="quiet small">{t("everyDays", { count: step.everyDays })}</div>
        )}
      </th>
      <td>
        <strong>{step.measure}</strong>
        <div className="quiet small">
          {amount(step.doseMg)} · {step.timesLocal.join(", ")}
        </div>
      </td>
      {plan.weight === undefined ? (
        <td colSpan={3}>{t("noWeight")}</td>
      ) : (
        (["lowMgPerKg", "bestMgPerKg", "highMgPerKg"] as const).map((at) => (
          <td key={at}>
            <strong>{rate(step.perDay[at])}</strong>
            {step.timesLocal.length > 1 ? (
              <div className="quiet small">{rate(step.perDose[at])}</div>
            ) : null}
          </td>
        ))
      )}
    </tr>
  );
};

/** What the yard measures, and the true rate at the lowest, best and highest likely weight. */
export const RateTable = ({ plan }: { readonly plan: CoursePlan }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const kg = (value: number | undefined) =>
    value === undefined ? "" : `${format.number(value, 0)} kg`;
  return (
    <div className={styles["scroll"]}>
      <table className={styles["rates"]}>
        <caption>
          {t("rate")} {t("perDay")}, {unitOf(plan).name}
          {plan.steps.some((step) => step.timesLocal.length > 1) ? ` (${t("perDose")})` : ""}
        </caption>
        <thead>
          <tr>
            <th scope="col">{t("dayColumn")}</th>
            <th scope="col">{t("amount")}</th>
            <th scope="col">
              {t("low")}
              <span>{kg(plan.weight?.lowKg)}</span>
            </th>
            <th scope="col">
              {t("best")}
              <span>{kg(plan.weight?.weightKg)}</span>
            </th>
            <th scope="col">
              {t("high")}
              <span>{kg(plan.weight?.highKg)}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {plan.steps.map((step) => (
            <StepRate key={String(step.fromDay)} plan={plan} step={step} />
          ))}
        </tbody>
      </table>
    </div>
  );
};

/** What is dispensed, when it ends, and the tests it brings. */
export const PlanTotals = ({ plan }: { readonly plan: CoursePlan }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const amount = useAmount();
  const unit = plan.steps[0]?.measure.replace(/^[\d.]+ /, "") ?? "";
  return (
    <div className="stack">
      <Facts
        items={[
          [
            t("totals"),
            [
              `${format.number(plan.totalUnits, 2)} ${unit}`,
              ...(plan.packs === undefined ? [] : [t("packs", { count: plan.packs })]),
            ].join(" · "),
          ],
          [t("totalMg"), amount(plan.totalMg)],
          [t("lastDose"), format.date(plan.lastDoseOn)],
          [t("reviewOn"), format.date(plan.reviewOn)],
        ]}
      />
      {plan.monitoring.length === 0 ? null : (
        <div>
          <h3>{t("monitoring")}</h3>
          <ul className={styles["tasks"]}>
            {plan.monitoring.map((task) => (
              <li key={task.kind + task.dueOn}>
                {task.kind === "blood" ? <FlaskConical aria-hidden /> : <Scale aria-hidden />}
                <span>
                  <strong>{format.shortDate(task.dueOn)}</strong> ·{" "}
                  {t(`monitoringKinds.${task.kind}`)}
                  {task.tests.length === 0 ? null : `: ${task.tests.join(", ")}`}
                </span>
              </li>
            ))}
          </ul>
        </div>
      )}
    </div>
  );
};
