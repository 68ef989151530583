import { CircleCheck, CircleDashed, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useFormat } from "../language/format.ts";
import { classNames } from "./class-names.ts";
import styles from "./measure-value.module.css";

const VERDICTS = {
  inside: ["inside", CircleCheck],
  outside: ["outside", TriangleAlert],
  "no reference": ["none", CircleDashed],
} as const;

/** A measured figure with its uncertainty, unit and, in words, how it lies to the range. */
export const MeasureValue = ({
  value,
  uncertainty,
  unit,
  verdict,
  digits = 1,
}: {
  readonly value: number | null;
  /** Half of the 95 % interval, in the same unit. */
  readonly uncertainty?: number | null | undefined;
  readonly unit: string;
  readonly verdict?: keyof typeof VERDICTS;
  readonly digits?: number;
}) => {
  const { t } = useTranslation();
  const format = useFormat();
  if (value === null) return <span className="quiet">{t("notMeasured")}</span>;
  const [tone, Icon] = VERDICTS[verdict ?? "no reference"];
  return (
    <span className={styles["measure"]}>
      <span>
        <span className={styles["value"]}>{format.number(value, digits)}</span>
        {uncertainty === undefined || uncertainty === null ? null : (
          <span className={styles["uncertain"]}> ± {format.number(uncertainty, digits)}</span>
        )}{" "}
        {unit}
      </span>
      {verdict === undefined ? null : (
        <span className={classNames(styles["verdict"], styles[tone])}>
          <Icon aria-hidden />
          {t(`verdict.${verdict}`)}
        </span>
      )}
    </span>
  );
};
