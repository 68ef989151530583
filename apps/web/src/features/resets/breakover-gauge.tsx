import { CircleCheck, OctagonAlert, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { classNames } from "../../components/class-names.ts";
import { useFormat } from "../../language/format.ts";
import styles from "./resets.module.css";

/** Share of the limit from which the forecast is called near it. House rule. */
const NEAR = 0.9;

/** Breakover today, by the forecast, against the limit of this horse. */
export const BreakoverGauge = ({
  nowMm,
  limitMm,
}: {
  readonly nowMm: number | null;
  readonly limitMm: number | null;
}) => {
  const { t } = useTranslation("resets");
  const format = useFormat();
  if (nowMm === null || limitMm === null)
    return <span className="quiet small">{t("noBreakover")}</span>;
  const share = nowMm / limitMm;
  const [look, words, Icon] =
    share > 1
      ? (["over", t("breakoverOver"), OctagonAlert] as const)
      : share >= NEAR
        ? (["near", t("breakoverNear"), TriangleAlert] as const)
        : (["inside", t("breakoverInside"), CircleCheck] as const);
  return (
    <div className={styles["gauge"]}>
      <strong>
        {t("breakoverOf", { now: format.number(nowMm), limit: format.number(limitMm) })}
      </strong>
      <span className={styles["gaugeTrack"]} aria-hidden>
        <span
          className={classNames(styles["gaugeFill"], styles[look])}
          style={{ width: `${String(Math.min(100, share * 80))}%` }}
        />
        <span className={styles["gaugeLimit"]} />
      </span>
      <span className={classNames(styles["gaugeWord"], styles[look])}>
        <Icon aria-hidden />
        {words}
      </span>
    </div>
  );
};
