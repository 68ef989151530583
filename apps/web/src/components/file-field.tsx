import { CircleAlert } from "lucide-react";
import { useId } from "react";
import styles from "./field.module.css";
import type { FieldProps } from "./field.tsx";
import { useFieldProblem } from "./form.tsx";

/** One file from the device; `capture` opens the camera on a phone. */
export const FileField = ({
  label,
  name,
  hint,
  accept,
  capture,
  onChange,
}: FieldProps & {
  readonly accept: string;
  readonly capture?: "environment";
  readonly onChange: (file: File | null) => void;
}) => {
  const id = useId();
  const error = useFieldProblem(name);
  return (
    <div className={styles["field"]}>
      <label className={styles["label"]} htmlFor={id}>
        {label}
      </label>
      <input
        id={id}
        type="file"
        accept={accept}
        {...(capture === undefined ? {} : { capture })}
        aria-invalid={error === undefined ? undefined : true}
        aria-describedby={hint === undefined && error === undefined ? undefined : `${id}-notes`}
        className={styles["input"]}
        onChange={(event) => onChange(event.target.files?.[0] ?? null)}
      />
      <div id={`${id}-notes`}>
        {hint === undefined ? null : <div className={styles["hint"]}>{hint}</div>}
        {error === undefined ? null : (
          <div className={styles["error"]}>
            <CircleAlert aria-hidden />
            {error}
          </div>
        )}
      </div>
    </div>
  );
};
