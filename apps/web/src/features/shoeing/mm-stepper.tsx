import { Minus, Plus } from "lucide-react";
import { useId, useState } from "react";
import { useTranslation } from "react-i18next";
import { useFieldProblem } from "../../components/form.tsx";
import { typedNumber } from "../../components/use-draft.ts";
import styles from "./shoeing.module.css";

/** A figure for dirty gloves: large, with two large buttons. Empty until somebody measured. */
export const MmStepper = ({
  label,
  hint,
  name,
  unit = "mm",
  value,
  step = 0.5,
  min,
  max,
  start,
  onChange,
}: {
  readonly label: string;
  readonly hint?: string | undefined;
  readonly name?: string;
  readonly unit?: string;
  readonly value: number | null;
  readonly step?: number;
  readonly min: number;
  readonly max: number;
  /** Where the buttons begin while nothing stands here. */
  readonly start: number;
  readonly onChange: (value: number | null) => void;
}) => {
  const { t } = useTranslation("shoeing");
  const id = useId();
  const [text, setText] = useState(value === null ? "" : String(value));
  const problem = useFieldProblem(name);
  const shown = (typedNumber(text) ?? null) === value ? text : value === null ? "" : String(value);
  const move = (by: number) => {
    const next = Math.min(max, Math.max(min, (value ?? start) + (value === null ? 0 : by)));
    setText(String(next));
    onChange(next);
  };
  return (
    <div className={styles["stepper"]}>
      <label htmlFor={id}>
        {label}
        {hint === undefined ? null : <small>{hint}</small>}
      </label>
      <div className={styles["stepperBox"]}>
        <button type="button" aria-label={t("less", { what: label })} onClick={() => move(-step)}>
          <Minus aria-hidden />
        </button>
        <span>
          <input
            id={id}
            inputMode="decimal"
            autoComplete="off"
            name={name}
            aria-invalid={problem === undefined ? undefined : true}
            value={shown}
            placeholder="–"
            onChange={(event) => {
              setText(event.target.value);
              onChange(typedNumber(event.target.value) ?? null);
            }}
          />
          <i>{unit}</i>
        </span>
        <button type="button" aria-label={t("more", { what: label })} onClick={() => move(step)}>
          <Plus aria-hidden />
        </button>
      </div>
      {problem === undefined ? null : <p className={styles["problem"]}>{problem}</p>}
    </div>
  );
};
