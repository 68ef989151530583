import { useTranslation } from "react-i18next";
import { useFormat } from "../language/format.ts";
import styles from "./foot-diagram.module.css";

/** In a box of 300 × 220, toe to the left, ground at y = 190. */
const HOOF =
  "M34 190L139 65C150 60 176 66 200 84C222 100 240 112 246 124C251 136 246 147 237 156C226 166 210 178 200 190Z";
const PASTERN =
  "M139 65C146 44 156 22 170 6L238 6C236 34 242 66 252 100C254 112 252 120 248 128C240 114 222 100 200 84C176 66 150 60 139 65Z";
const PEDAL_BONE =
  "M75 170L132 101C135 95 140 92 146 94C153 104 163 113 178 118C186 130 198 152 204 162C198 166 186 164 176 163C144 161 108 166 75 170Z";
const SHORT_PASTERN = "M150 88C154 100 165 109 180 112C190 108 197 100 199 90L212 44L178 24Z";
const NAVICULAR = "M187 118C194 114 202 116 206 122C204 128 196 130 190 127Z";

export interface LateralFigures {
  readonly soleTipMm?: number | null | undefined;
  readonly palmarAngleDegrees?: number | null | undefined;
  readonly breakoverMm?: number | null | undefined;
  readonly wallToBoneMm?: number | null | undefined;
  readonly founderMm?: number | null | undefined;
}

/**
 * The foot from the side with the pedal bone inside, and the figures that are known at the place
 * where they are measured. A schema, not this horse's film: it is not drawn to scale.
 */
export const FootLateral = ({
  figures = {},
  withWords = true,
}: {
  readonly figures?: LateralFigures;
  readonly withWords?: boolean;
}) => {
  const { t } = useTranslation();
  const format = useFormat();
  const mm = (value: number) => `${format.number(value)} mm`;
  const { soleTipMm, palmarAngleDegrees, breakoverMm, wallToBoneMm, founderMm } = figures;
  return (
    <svg viewBox="0 0 300 220" className={styles["svg"]} role="img" aria-label={t("lateralView")}>
      <path className={styles["skin"]} d={PASTERN} />
      <path className={styles["horn"]} d={HOOF} />
      <path className={styles["bone"]} d={SHORT_PASTERN} />
      <path className={styles["bone"]} d={PEDAL_BONE} />
      <path className={styles["bone"]} d={NAVICULAR} />
      <line className={styles["ground"]} x1="8" x2="292" y1="190.500" y2="190.500" />
      {typeof soleTipMm === "number" ? (
        <g>
          <line className={styles["measure"]} x1="78" x2="78" y1="171" y2="189" />
          <text className={styles["label"]} x="84" y="185">
            {mm(soleTipMm)}
          </text>
        </g>
      ) : null}
      {typeof palmarAngleDegrees === "number" ? (
        <g>
          <line className={styles["guide"]} x1="75" x2="214" y1="170" y2="161" />
          <text className={styles["label"]} x="176" y="181">
            {format.number(palmarAngleDegrees)}°
          </text>
        </g>
      ) : null}
      {typeof breakoverMm === "number" ? (
        <g>
          <line className={styles["guide"]} x1="75" x2="75" y1="171" y2="206" />
          <path className={styles["measure"]} d="M42 202H75M42 197V207M75 197V207" />
          <text className={styles["label"]} x="84" y="206">
            {mm(breakoverMm)}
          </text>
        </g>
      ) : null}
      {typeof wallToBoneMm === "number" ? (
        <g>
          <line className={styles["measure"]} x1="88" x2="104" y1="126" y2="136" />
          <text className={styles["label"]} x="84" y="122" textAnchor="end">
            {mm(wallToBoneMm)}
          </text>
        </g>
      ) : null}
      {typeof founderMm === "number" ? (
        <g>
          <line className={styles["guide"]} x1="104" x2="146" y1="65" y2="65" />
          <line className={styles["guide"]} x1="104" x2="146" y1="94" y2="94" />
          <line className={styles["measure"]} x1="112" x2="112" y1="65" y2="94" />
          <text className={styles["label"]} x="108" y="83" textAnchor="end">
            {mm(founderMm)}
          </text>
        </g>
      ) : null}
      {withWords ? (
        <>
          <text className={styles["quiet"]} x="12" y="214">
            {t("toe")}
          </text>
          <text className={styles["quiet"]} x="288" y="214" textAnchor="end">
            {t("heel")}
          </text>
        </>
      ) : null}
    </svg>
  );
};
