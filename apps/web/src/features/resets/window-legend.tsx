import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import styles from "./resets.module.css";

const Sign = ({ label, children }: { readonly label: string; readonly children: ReactNode }) => (
  <span>
    <svg viewBox="0 0 16 16" aria-hidden>
      {children}
    </svg>
    {label}
  </span>
);

/** What the signs of the window strip mean. */
export const WindowLegend = () => {
  const { t } = useTranslation("resets");
  return (
    <div className={styles["legend"]}>
      <Sign label={t("today")}>
        <path className={styles["todayMark"]} d="M8 13l-5-9h10z" />
      </Sign>
      <Sign label={t("window")}>
        <rect className={styles["open"]} x="1" y="4" width="14" height="8" />
      </Sign>
      <Sign label={t("due")}>
        <line className={styles["dueMark"]} x1="8" x2="8" y1="1" y2="15" />
      </Sign>
      <Sign label={t("safe")}>
        <path className={styles["safeMark"]} d="M8 3l5 9H3z" />
      </Sign>
      <Sign label={t("ceiling")}>
        <line className={styles["ceiling"]} x1="8" x2="8" y1="1" y2="15" />
      </Sign>
      <Sign label={t("booked")}>
        <rect
          className={styles["bookedMark"]}
          x="4"
          y="4"
          width="8"
          height="8"
          transform="rotate(45 8 8)"
        />
      </Sign>
    </div>
  );
};
