import type { FilmOutline } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useFormat } from "../../../language/format.ts";
import styles from "./drawing.module.css";

interface Extent {
  readonly measurements: readonly Pick<
    FilmOutline["measurements"][number],
    "key" | "label" | "value" | "interval95"
  >[];
  readonly areaMm2: number | null;
  readonly areaStandardUncertaintyMm2: number | null;
}

/** 95 % of a normal distribution. */
const COVERAGE = 1.96;

/** How far an outlined shadow reaches, each figure with its error. */
export const ExtentList = ({ measurements, areaMm2, areaStandardUncertaintyMm2 }: Extent) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const shown = [
    ...measurements.flatMap(({ key, label, value, interval95 }) =>
      value === null || interval95 === null
        ? []
        : [[key, label, value, (interval95.high - interval95.low) / 2, "mm", 1] as const],
    ),
    ...(areaMm2 === null
      ? []
      : [
          [
            "area",
            t("draw.area"),
            areaMm2,
            COVERAGE * (areaStandardUncertaintyMm2 ?? 0),
            "mm²",
            0,
          ] as const,
        ]),
  ];
  return (
    <dl className={styles["extent"]}>
      {shown.map(([key, label, value, error, unit, digits]) => (
        <div key={key} data-extent={key}>
          <dt>{label}</dt>
          <dd>
            {format.number(value, digits)} ± {format.number(error, digits)} {unit}
          </dd>
        </div>
      ))}
    </dl>
  );
};
