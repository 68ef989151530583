import { type ReactNode, useId } from "react";
import { useTranslation } from "react-i18next";
import styles from "./foot-diagram.module.css";
import { FootSolar } from "./foot-solar.tsx";

/** As seen from above with the horse's head upwards: left is left. */
export const FEET = ["LF", "RF", "LH", "RH"] as const;
export type FootName = (typeof FEET)[number];

/** Which feet, all of them at once as seen from above. `isSingle` allows one only. */
export const FeetPicker = ({
  label,
  value,
  onChange,
  isSingle = false,
  feet = FEET,
}: {
  readonly label: ReactNode;
  readonly value: readonly FootName[];
  readonly onChange: (feet: readonly FootName[]) => void;
  readonly isSingle?: boolean;
  /** Leave out feet that cannot be chosen. */
  readonly feet?: readonly FootName[];
}) => {
  const { t } = useTranslation();
  const id = useId();
  return (
    <fieldset className={styles["fieldset"]}>
      <legend className={styles["legend"]}>{label}</legend>
      <div className={styles["picker"]}>
        {feet.map((foot) => (
          <label key={foot} className={styles["foot"]}>
            <FootSolar foot={foot} />
            {t(`foot.${foot}`)}
            <input
              type={isSingle ? "radio" : "checkbox"}
              name={id}
              checked={value.includes(foot)}
              onChange={(event) =>
                onChange(
                  isSingle
                    ? [foot]
                    : FEET.filter((one) =>
                        one === foot ? event.target.checked : value.includes(one),
                      ),
                )
              }
            />
          </label>
        ))}
      </div>
    </fieldset>
  );
};

/** Four small feet with the named ones filled, and their names in words. */
export const FeetShown = ({ feet }: { readonly feet: readonly FootName[] }) => {
  const { t } = useTranslation();
  if (feet.length === 0) return <span className="quiet">{t("noFeet")}</span>;
  return (
    <span>
      <span className={styles["mini"]} aria-hidden>
        {FEET.map((foot) => (
          <i key={foot} data-on={feet.includes(foot)} />
        ))}
      </span>{" "}
      {feet.map((foot) => t(`foot.${foot}`)).join(", ")}
    </span>
  );
};
