import type { FiveSign } from "@heelward/domain/examination";
import { useId } from "react";
import { useTranslation } from "react-i18next";
import { classNames } from "../../components/class-names.ts";
import { MOST_POINTS } from "./five-sign-points.ts";
import { SignPicture } from "./sign-picture.tsx";
import styles from "./care.module.css";

/** One of the five signs: a row of pictures to choose from, with "not looked at" as the start. */
export const SignField = ({
  sign,
  value,
  onChange,
}: {
  readonly sign: FiveSign;
  readonly value: number | undefined;
  readonly onChange: (points: number | undefined) => void;
}) => {
  const { t } = useTranslation("care");
  const name = useId();
  const levels = t(`levels.${sign}`, { returnObjects: true }) as readonly string[];
  return (
    <fieldset className={styles["sign"]}>
      <legend>
        <strong>{t(`signNames.${sign}`)}</strong>{" "}
        <span className="quiet">{t(`signAsk.${sign}`)}</span>
      </legend>
      <div className={classNames(styles["levels"], MOST_POINTS[sign] === 2 && styles["three"])}>
        {Array.from({ length: MOST_POINTS[sign] + 1 }, (_, points) => (
          <label key={points} className={styles["level"]}>
            <input
              type="radio"
              name={name}
              checked={value === points}
              onChange={() => onChange(points)}
            />
            <SignPicture sign={sign} level={points} />
            <span>{levels[points]}</span>
          </label>
        ))}
      </div>
      <label className={styles["skip"]}>
        <input
          type="radio"
          name={name}
          checked={value === undefined}
          onChange={() => onChange(undefined)}
        />
        {t("notSeen")}
      </label>
    </fieldset>
  );
};
