import { type ComponentProps, useState } from "react";
import { NumberField } from "./field.tsx";
import { typedNumber } from "./use-draft.ts";

/**
 * A figure kept as a number. What is typed stays on screen as it was typed ("3," on the way to
 * "3,5"); `onChange` hears the number, or null when the field is empty or not a number.
 */
export const DecimalField = ({
  value,
  onChange,
  ...rest
}: Omit<ComponentProps<typeof NumberField>, "value" | "onChange"> & {
  readonly value: number | null;
  readonly onChange: (value: number | null) => void;
}) => {
  const [text, setText] = useState(value === null ? "" : String(value));
  const shown = (typedNumber(text) ?? null) === value ? text : value === null ? "" : String(value);
  return (
    <NumberField
      {...rest}
      value={shown}
      onChange={(typed) => {
        setText(typed);
        onChange(typedNumber(typed) ?? null);
      }}
    />
  );
};
