import { useTranslation } from "react-i18next";
import type { FootName } from "./foot-diagram.tsx";
import styles from "./foot-diagram.module.css";

/** Outlines in a box of 200 × 220, toe upwards. A hind foot is narrower and more pointed. */
const WALL = {
  fore: "M100 10C150 10 186 50 186 104C186 146 174 178 158 200C150 211 135 208 128 199Q115 189 100 189Q85 189 72 199C65 208 50 211 42 200C26 178 14 146 14 104C14 50 50 10 100 10Z",
  hind: "M100 6C134 10 176 58 176 108C176 148 166 178 152 200C145 211 132 208 126 199Q114 189 100 189Q86 189 74 199C68 208 55 211 48 200C34 178 24 148 24 108C24 58 66 10 100 6Z",
};
const SOLE = {
  fore: "M100 24C142 24 172 58 172 105C172 140 162 168 148 186C143 192 136 190 131 184L116 140L100 88L84 140L69 184C64 190 57 192 52 186C38 168 28 140 28 105C28 58 58 24 100 24Z",
  hind: "M100 21C128 25 162 64 162 108C162 142 154 168 142 186C138 192 132 190 128 184L115 140L100 88L85 140L72 184C68 190 62 192 58 186C46 168 38 142 38 108C38 64 72 25 100 21Z",
};
const FROG =
  "M100 88C107 108 124 152 135 190C127 201 115 197 108 187L100 150L92 187C85 197 73 201 65 190C76 152 93 108 100 88Z";
const BARS = "M147 187L118 132M53 187L82 132";

/** Millimetres to drawing units: a fore foot 130 mm wide spans 172 units. */
const UNITS_PER_MM = 1.32;
const FROG_TIP_Y = 88;
const BONE_TIP_ABOVE_FROG_MM = 12;

/**
 * The foot from below: wall, sole, frog, bars, and where the tip of the pedal bone lies. With
 * `breakoverFromFrogTipMm` a line shows where breakover goes, measured from the mark a farrier can
 * find. The drawing is a guide; the figure beside the line counts.
 */
export const FootSolar = ({
  foot,
  breakoverFromFrogTipMm,
  withLabels = false,
}: {
  readonly foot: FootName;
  readonly breakoverFromFrogTipMm?: number | null | undefined;
  readonly withLabels?: boolean;
}) => {
  const { t } = useTranslation();
  const kind = foot.endsWith("F") ? "fore" : "hind";
  const tipY = FROG_TIP_Y - BONE_TIP_ABOVE_FROG_MM * UNITS_PER_MM;
  const lineY =
    typeof breakoverFromFrogTipMm === "number"
      ? Math.max(8, FROG_TIP_Y - breakoverFromFrogTipMm * UNITS_PER_MM)
      : undefined;
  return (
    <svg
      viewBox="0 0 200 220"
      className={styles["svg"]}
      role={withLabels ? "img" : undefined}
      aria-hidden={withLabels ? undefined : true}
      aria-label={withLabels ? t("solarView", { foot: t(`foot.${foot}`) }) : undefined}
    >
      <path className={styles["horn"]} d={WALL[kind]} />
      <path className={styles["sole"]} d={SOLE[kind]} />
      <path className={styles["frog"]} d={FROG} />
      <path className={styles["bar"]} d={BARS} />
      {withLabels ? (
        <>
          <path
            className={styles["guide"]}
            fill="none"
            d={`M62 ${String(tipY + 34)}Q66 ${String(tipY)} 100 ${String(tipY)}Q134 ${String(tipY)} 138 ${String(tipY + 34)}`}
          />
          <text className={styles["quiet"]} x="100" y="218" textAnchor="middle">
            {t("heel")}
          </text>
        </>
      ) : null}
      {lineY === undefined ? null : (
        <g>
          <line className={styles["measure"]} x1="18" x2="182" y1={lineY} y2={lineY} />
          <line className={styles["guide"]} x1="100" x2="100" y1={lineY} y2={FROG_TIP_Y} />
          <text className={styles["label"]} x="106" y={(lineY + FROG_TIP_Y) / 2 + 4}>
            {breakoverFromFrogTipMm} mm
          </text>
        </g>
      )}
    </svg>
  );
};
