import { CircleAlert } from "lucide-react";
import { type ComponentProps, type ReactNode, useId } from "react";
import { useTranslation } from "react-i18next";
import styles from "./field.module.css";
import { useFieldProblem } from "./form.tsx";

export interface FieldProps {
  readonly label: ReactNode;
  /** JSON pointer into the request without the first slash, so that a refusal finds its field. */
  readonly name?: string | undefined;
  readonly hint?: ReactNode;
  readonly error?: string | undefined;
  readonly isOptional?: boolean | undefined;
}

const useField = ({ name, error, hint }: FieldProps) => {
  const id = useId();
  const told = useFieldProblem(name);
  const shown = error ?? told;
  const described = [
    shown === undefined ? "" : `${id}-error`,
    hint === undefined ? "" : `${id}-hint`,
  ]
    .filter((one) => one !== "")
    .join(" ");
  return {
    id,
    shown,
    aria: {
      "aria-invalid": shown === undefined ? undefined : true,
      "aria-describedby": described === "" ? undefined : described,
    },
  };
};

const Notes = ({
  id,
  hint,
  error,
}: {
  readonly id: string;
  readonly hint: ReactNode;
  readonly error: string | undefined;
}) => (
  <>
    {hint === undefined ? null : (
      <div id={`${id}-hint`} className={styles["hint"]}>
        {hint}
      </div>
    )}
    {error === undefined ? null : (
      <div id={`${id}-error`} className={styles["error"]}>
        <CircleAlert aria-hidden />
        {error}
      </div>
    )}
  </>
);

const OptionalMark = ({ isOptional }: { readonly isOptional: boolean | undefined }) => {
  const { t } = useTranslation();
  return isOptional === true ? (
    <span className={styles["optional"]}> ({t("optional")})</span>
  ) : null;
};

type Native<K extends "input" | "textarea" | "select"> = Omit<
  ComponentProps<K>,
  "onChange" | "value" | "name" | "id"
>;

interface TextProps extends FieldProps {
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly unit?: string | undefined;
}

/** One line of text; also numbers (`inputMode="decimal"`, with `unit`), dates and passwords by `type`. */
export const TextField = (props: TextProps & Native<"input">) => {
  const { label, name, hint, error: _error, isOptional, value, onChange, unit, ...rest } = props;
  const { id, shown, aria } = useField(props);
  const { t } = useTranslation();
  return (
    <div className={styles["field"]}>
      <label className={styles["label"]} htmlFor={id}>
        {label}
        {unit === undefined ? null : <span className="only-read"> {t("unit", { unit })}</span>}
        <OptionalMark isOptional={isOptional} />
      </label>
      <div className={styles["box"]}>
        <input
          {...rest}
          {...aria}
          id={id}
          name={name}
          value={value}
          onChange={(event) => onChange(event.target.value)}
          className={styles["input"]}
        />
        {unit === undefined ? null : (
          <span className={styles["unit"]} aria-hidden>
            {unit}
          </span>
        )}
      </div>
      <Notes id={id} hint={hint} error={shown} />
    </div>
  );
};

/** A figure with its unit; the keypad opens on a phone. */
export const NumberField = (props: TextProps & Native<"input">) => (
  <TextField {...props} inputMode="decimal" autoComplete="off" />
);

/** Several lines of text. */
export const TextArea = (
  props: FieldProps & {
    readonly value: string;
    readonly onChange: (value: string) => void;
  } & Native<"textarea">,
) => {
  const { label, name, hint, error: _error, isOptional, value, onChange, ...rest } = props;
  const { id, shown, aria } = useField(props);
  return (
    <div className={styles["field"]}>
      <label className={styles["label"]} htmlFor={id}>
        {label}
        <OptionalMark isOptional={isOptional} />
      </label>
      <textarea
        {...rest}
        {...aria}
        id={id}
        name={name}
        value={value}
        onChange={(event) => onChange(event.target.value)}
        className={styles["input"]}
      />
      <Notes id={id} hint={hint} error={shown} />
    </div>
  );
};

export interface Option<V extends string = string> {
  readonly value: V;
  readonly label: string;
}

/** One of many. For two to six, prefer `ChoiceField`. */
export const SelectField = <V extends string>(
  props: FieldProps & {
    readonly value: V | "";
    readonly onChange: (value: V | "") => void;
    readonly options: readonly Option<V>[];
    /** What the empty choice says; left out, there is none. */
    readonly emptyLabel?: string;
  } & Native<"select">,
) => {
  const {
    label,
    name,
    hint,
    error: _error,
    isOptional,
    value,
    onChange,
    options,
    emptyLabel,
    ...rest
  } = props;
  const { id, shown, aria } = useField(props);
  return (
    <div className={styles["field"]}>
      <label className={styles["label"]} htmlFor={id}>
        {label}
        <OptionalMark isOptional={isOptional} />
      </label>
      <select
        {...rest}
        {...aria}
        id={id}
        name={name}
        value={value}
        onChange={(event) => onChange(event.target.value as V | "")}
        className={styles["input"]}
      >
        {emptyLabel === undefined ? null : <option value="">{emptyLabel}</option>}
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
      <Notes id={id} hint={hint} error={shown} />
    </div>
  );
};

/** One of a few, each a large target. */
export const ChoiceField = <V extends string>(
  props: FieldProps & {
    readonly value: V | "";
    readonly onChange: (value: V) => void;
    readonly options: readonly Option<V>[];
  },
) => {
  const { label, name, hint, isOptional, value, onChange, options } = props;
  const { id, shown, aria } = useField(props);
  return (
    <fieldset className={styles["field"]} aria-describedby={aria["aria-describedby"]}>
      <legend className={styles["label"]}>
        {label}
        <OptionalMark isOptional={isOptional} />
      </legend>
      <div className={styles["choices"]}>
        {options.map((option) => (
          <label key={option.value} className={styles["choice"]}>
            <input
              type="radio"
              name={name ?? id}
              value={option.value}
              checked={value === option.value}
              onChange={() => onChange(option.value)}
            />
            {option.label}
          </label>
        ))}
      </div>
      <Notes id={id} hint={hint} error={shown} />
    </fieldset>
  );
};

/** Any of a few, each a large target. */
export const ManyField = <V extends string>(
  props: FieldProps & {
    readonly value: readonly V[];
    readonly onChange: (value: readonly V[]) => void;
    readonly options: readonly Option<V>[];
  },
) => {
  const { label, hint, isOptional, value, onChange, options } = props;
  const { id, shown, aria } = useField(props);
  return (
    <fieldset className={styles["field"]} aria-describedby={aria["aria-describedby"]}>
      <legend className={styles["label"]}>
        {label}
        <OptionalMark isOptional={isOptional} />
      </legend>
      <div className={styles["choices"]}>
        {options.map((option) => (
          <label key={option.value} className={styles["choice"]}>
            <input
              type="checkbox"
              checked={value.includes(option.value)}
              onChange={(event) =>
                onChange(
                  event.target.checked
                    ? [...value, option.value]
                    : value.filter((one) => one !== option.value),
                )
              }
            />
            {option.label}
          </label>
        ))}
      </div>
      <Notes id={id} hint={hint} error={shown} />
    </fieldset>
  );
};

/** One yes-or-no statement. */
export const CheckField = (
  props: FieldProps & {
    readonly value: boolean;
    readonly onChange: (value: boolean) => void;
    readonly disabled?: boolean;
  },
) => {
  const { label, hint, value, onChange, disabled } = props;
  const { id, shown, aria } = useField(props);
  return (
    <div className={styles["field"]}>
      <label className={styles["check"]}>
        <input
          {...aria}
          type="checkbox"
          checked={value}
          disabled={disabled}
          onChange={(event) => onChange(event.target.checked)}
        />
        <span>{label}</span>
      </label>
      <Notes id={id} hint={hint} error={shown} />
    </div>
  );
};
