import { useTimeZone } from "../language/time-zone.ts";
import { instantOf, wallClockOf } from "../language/wall-clock.ts";
import { type FieldProps, TextField } from "./field.tsx";

/**
 * Day and time on the clock of the practice (or of the zone given), kept as an instant with offset.
 * An empty or half-typed value is `""`.
 */
export const MomentField = ({
  value,
  onChange,
  timeZone,
  ...rest
}: FieldProps & {
  readonly value: string;
  readonly onChange: (instant: string) => void;
  readonly timeZone?: string | undefined;
}) => {
  const practiceZone = useTimeZone();
  const zone = timeZone ?? practiceZone;
  return (
    <TextField
      {...rest}
      type="datetime-local"
      value={value === "" ? "" : wallClockOf(value, zone)}
      onChange={(text) => onChange(text === "" ? "" : instantOf(text, zone))}
    />
  );
};
