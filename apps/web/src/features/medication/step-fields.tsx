import type { Drug, Presentation } from "@heelward/domain/medication";
import { Plus, Trash2, X } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Button, IconButton } from "../../components/button.tsx";
import { NumberField, SelectField, TextField } from "../../components/field.tsx";
import { typedNumber } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { type StepDraft, unitsForAim } from "./course-draft.ts";
import { useRate } from "./plan-view.tsx";
import styles from "./medication.module.css";

const EVERY = ["1", "2", "3", "7"] as const;
const MOST_TIMES = 6;

/** One stretch of equal dosing: days, the measured amount, the clock times. */
export const StepFields = ({
  step,
  index,
  drug,
  presentation,
  weightKg,
  onChange,
  onRemove,
}: {
  readonly step: StepDraft;
  readonly index: number;
  readonly drug: Drug;
  readonly presentation: Presentation;
  readonly weightKg: number | undefined;
  readonly onChange: (step: StepDraft) => void;
  readonly onRemove: (() => void) | undefined;
}) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const rate = useRate();
  const set = (change: Partial<StepDraft>) => onChange({ ...step, ...change });
  const at = (field: string) => `steps/${String(index)}/${field}`;
  const units = typedNumber(step.units);
  const mg = units === undefined ? undefined : units * presentation.mgPerUnit;
  const setAim = (aim: string) => {
    const mgPerKg = typedNumber(aim);
    set({
      aim,
      ...(mgPerKg === undefined || weightKg === undefined
        ? {}
        : { units: String(Number(unitsForAim(mgPerKg, drug, presentation, weightKg).toFixed(3))) }),
    });
  };
  return (
    <fieldset className={styles["step"]}>
      <legend className="only-read">{t("step", { number: index + 1 })}</legend>
      <div className="spread">
        <strong>{t("step", { number: index + 1 })}</strong>
        {onRemove === undefined ? null : (
          <IconButton label={t("removeStep")} icon={<Trash2 aria-hidden />} onClick={onRemove} />
        )}
      </div>
      <div className={styles["stepGrid"]}>
        <NumberField
          label={t("fromDay")}
          name={at("fromDay")}
          value={step.fromDay}
          onChange={(fromDay) => set({ fromDay })}
        />
        <NumberField
          label={t("toDay")}
          name={at("toDay")}
          value={step.toDay}
          onChange={(toDay) => set({ toDay })}
        />
        <SelectField
          label={t("every")}
          name={at("everyDays")}
          value={step.everyDays}
          onChange={(everyDays) => set({ everyDays })}
          options={[...new Set([...EVERY, step.everyDays])]
            .filter((days) => days !== "")
            .map((days) => ({ value: days, label: t("everyDays", { count: Number(days) }) }))}
        />
      </div>
      <div className={styles["stepGrid"]}>
        <NumberField
          label={t("aim")}
          unit={t("aimUnit")}
          isOptional
          disabled={weightKg === undefined}
          hint={t("aimHint")}
          value={step.aim}
          onChange={setAim}
        />
        <NumberField
          label={t("amount")}
          name={at("doseMg")}
          unit={presentation.unit}
          step={presentation.smallestStep}
          hint={
            mg === undefined
              ? undefined
              : [
                  `${format.number(mg, 2)} mg`,
                  ...(weightKg === undefined ? [] : [rate(mg / weightKg)]),
                ].join(" · ")
          }
          value={step.units}
          onChange={(next) => set({ units: next, aim: "" })}
        />
      </div>
      <div className={styles["times"]}>
        {step.times.map((time, position) => (
          <div key={position} className={styles["time"]}>
            <TextField
              label={position === 0 ? t("times") : <span className="only-read">{t("times")}</span>}
              name={at(`timesLocal/${String(position)}`)}
              type="time"
              value={time}
              onChange={(next) =>
                set({ times: step.times.map((one, other) => (other === position ? next : one)) })
              }
            />
            {step.times.length === 1 ? null : (
              <IconButton
                label={t("removeTime")}
                icon={<X aria-hidden />}
                onClick={() => set({ times: step.times.filter((_, other) => other !== position) })}
              />
            )}
          </div>
        ))}
        {step.times.length >= MOST_TIMES ? null : (
          <Button
            look="quiet"
            icon={<Plus aria-hidden />}
            onClick={() => set({ times: [...step.times, ""] })}
          >
            {t("addTime")}
          </Button>
        )}
      </div>
    </fieldset>
  );
};
