import { Minus, Plus } from "lucide-react";
import { useId } from "react";
import { useTranslation } from "react-i18next";
import { IconButton } from "../../../components/button.tsx";
import { useFieldProblem } from "../../../components/form.tsx";
import { useFormat } from "../../../language/format.ts";
import styles from "./foot-card.module.css";

/** A length that is set by sliding, by steps, or by the arrow keys; the figure stands large beside it. */
export const AmountSlider = ({
  label,
  hint,
  value,
  min = 0,
  max,
  step = 0.5,
  unit,
  name,
  onChange,
}: {
  readonly label: string;
  readonly hint?: string | undefined;
  readonly value: number;
  readonly min?: number;
  readonly max: number;
  readonly step?: number;
  readonly unit: string;
  readonly name?: string | undefined;
  readonly onChange: (value: number) => void;
}) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  const id = useId();
  const problem = useFieldProblem(name);
  const bounded = (next: number) => Math.min(max, Math.max(min, next));
  return (
    <div className={styles["slider"]}>
      <label htmlFor={id}>{label}</label>
      <output htmlFor={id} className={styles["amount"]}>
        {format.number(value)} <small>{unit}</small>
      </output>
      <span className={styles["track"]}>
        <IconButton
          label={t("less", { what: label })}
          icon={<Minus aria-hidden />}
          onClick={() => onChange(bounded(value - step))}
        />
        <input
          id={id}
          type="range"
          min={min}
          max={max}
          step={step}
          value={value}
          onChange={(event) => onChange(Number(event.target.value))}
        />
        <IconButton
          label={t("more", { what: label })}
          icon={<Plus aria-hidden />}
          onClick={() => onChange(bounded(value + step))}
        />
      </span>
      {hint === undefined ? null : <span className={styles["hint"]}>{hint}</span>}
      {problem === undefined ? null : <span className={styles["problem"]}>{problem}</span>}
    </div>
  );
};
