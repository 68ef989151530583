import { Delete } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Button } from "../components/button.tsx";
import { classNames } from "../components/class-names.ts";
import styles from "./pin-pad.module.css";

const LONGEST = 8;
const SHORTEST = 4;
const KEYS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"] as const;

/** Large keys for a PIN; a keyboard works as well. */
export const PinPad = ({
  pin,
  onChange,
  onDone,
  isBusy,
}: {
  readonly pin: string;
  readonly onChange: (pin: string) => void;
  readonly onDone: () => void;
  readonly isBusy: boolean;
}) => {
  const { t } = useTranslation("sharing");
  const add = (digit: string) => onChange(`${pin}${digit}`.slice(0, LONGEST));
  const key = (digit: string) => (
    <button key={digit} type="button" className={styles["key"]} onClick={() => add(digit)}>
      {digit}
    </button>
  );
  return (
    <div className={styles["pad"]}>
      <label className="only-read" htmlFor="pin">
        {t("pinDigits")}
      </label>
      <input
        id="pin"
        className="only-read"
        type="password"
        inputMode="none"
        autoComplete="off"
        value={pin}
        onChange={(event) => onChange(event.target.value.replaceAll(/\D/gu, "").slice(0, LONGEST))}
      />
      <div className={styles["dots"]} aria-hidden>
        {Array.from({ length: Math.max(SHORTEST, pin.length) }, (_, place) => (
          <span
            key={place}
            className={classNames(styles["dot"], place < pin.length && styles["filled"])}
          />
        ))}
      </div>
      <div className={styles["keys"]}>
        {KEYS.map(key)}
        <button
          type="button"
          className={styles["key"]}
          aria-label={t("delete")}
          onClick={() => onChange(pin.slice(0, -1))}
        >
          <Delete aria-hidden />
        </button>
        {key("0")}
        <Button
          look="primary"
          disabled={pin.length < SHORTEST}
          isBusy={isBusy}
          onClick={onDone}
          type="submit"
        >
          {t("open")}
        </Button>
      </div>
    </div>
  );
};
