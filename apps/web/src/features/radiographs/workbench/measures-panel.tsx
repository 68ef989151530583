import { memo, useState } from "react";
import type { Source } from "@heelward/domain/evidence";
import { useTranslation } from "react-i18next";
import { SourceNote } from "../../../components/findings.tsx";
import { MeasureValue } from "../../../components/measure-value.tsx";
import { useFormat } from "../../../language/format.ts";
import { grouped, halfInterval } from "./measure-film.ts";
import styles from "./measures.module.css";

/** A measure as worked out here or as the service kept it. */
export interface ShownMeasure {
  readonly key: string;
  readonly label: string;
  readonly value: number | null;
  readonly unit: "mm" | "deg" | "ratio" | "%";
  readonly interval95: { readonly low: number; readonly high: number } | null;
  readonly definition: string;
  readonly source: {
    readonly id: string;
    readonly citation: string;
    readonly status: string;
    readonly url?: string | undefined;
  };
  readonly reference?:
    | {
        readonly low: number | null;
        readonly high: number | null;
        readonly applies: string;
        readonly source: Omit<Source, "status"> & { readonly status: string };
      }
    | null
    | undefined;
  readonly verdict: "inside" | "outside" | "no reference";
  readonly missing?: string | null | undefined;
}

export const UNITS = { mm: "mm", deg: "°", ratio: "", "%": "%" } as const;
export const digitsOf = (unit: ShownMeasure["unit"]): number => (unit === "ratio" ? 2 : 1);

const Detail = ({ measure }: { readonly measure: ShownMeasure }) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const unit = UNITS[measure.unit];
  const digits = digitsOf(measure.unit);
  const { interval95, reference } = measure;
  const end = (value: number | null | undefined) =>
    value === null || value === undefined ? "…" : format.number(value, digits);
  return (
    <div className={styles["detail"]}>
      <p>{measure.definition}</p>
      {interval95 === null ? null : (
        <p>{t("interval", { low: end(interval95.low), high: end(interval95.high), unit })}</p>
      )}
      {typeof measure.missing === "string" ? <p>{measure.missing}</p> : null}
      <SourceNote source={measure.source as never} />
      {reference === null || reference === undefined ? null : (
        <>
          <p>
            {t("reference", {
              low: end(reference.low),
              high: end(reference.high),
              unit,
              applies: reference.applies,
            })}
          </p>
          <SourceNote source={reference.source as never} />
        </>
      )}
    </div>
  );
};

const isWithoutScale = ({ missing, unit }: ShownMeasure): boolean =>
  unit === "mm" && (missing ?? "").includes("scale");

/** How a figure is written; two figures written alike look alike. */
const written = (measure: ShownMeasure): string => {
  const digits = digitsOf(measure.unit);
  return [measure.value, halfInterval(measure.interval95)]
    .map((figure) => figure?.toFixed(digits) ?? "")
    .join("±");
};

/** One measure. While a mark is dragged it is drawn again only when what is read in it changes. */
const MeasureRow = memo(
  ({
    measure,
    isOpen,
    onChoose,
  }: {
    readonly measure: ShownMeasure;
    readonly isOpen: boolean;
    readonly onChoose: (key: string | undefined) => void;
  }) => {
    const { t } = useTranslation("radiographs");
    return (
      <li className={styles["measure"]} data-measure={measure.key}>
        <button
          type="button"
          aria-expanded={isOpen}
          onClick={() => onChoose(isOpen ? undefined : measure.key)}
        >
          <span className={styles["name"]}>{measure.label}</span>
          {isWithoutScale(measure) ? (
            <span className={styles["noScale"]}>{t("noScale")}</span>
          ) : (
            <MeasureValue
              value={measure.value}
              uncertainty={halfInterval(measure.interval95)}
              unit={UNITS[measure.unit]}
              digits={digitsOf(measure.unit)}
              {...(measure.value === null || measure.verdict === "no reference"
                ? {}
                : { verdict: measure.verdict })}
            />
          )}
        </button>
        {isOpen ? <Detail measure={measure} /> : null}
      </li>
    );
  },
  (before, after) =>
    before.isOpen === after.isOpen &&
    before.onChoose === after.onChoose &&
    (before.measure === after.measure ||
      (!after.isOpen &&
        before.measure.label === after.measure.label &&
        before.measure.unit === after.measure.unit &&
        before.measure.verdict === after.measure.verdict &&
        before.measure.missing === after.measure.missing &&
        written(before.measure) === written(after.measure))),
);

/** Every measure with its error, its verdict, and on a tap what it is and where that comes from. */
export const MeasuresPanel = memo(
  ({
    measures,
    chosen,
    onChoose,
  }: {
    readonly measures: readonly ShownMeasure[];
    readonly chosen: string | undefined;
    readonly onChoose: (key: string | undefined) => void;
  }) => {
    const { t } = useTranslation(["radiographs", "common"]);
    const [showsAll, setShowsAll] = useState(false);
    const known = measures.filter((one) => one.value !== null || isWithoutScale(one));
    const shown = showsAll ? measures : known;
    return (
      <div className="stack-tight">
        {known.length === 0 ? <p className="quiet small">{t("measuresFollow")}</p> : null}
        {grouped(shown).map(({ group, items }) => (
          <section key={group} aria-label={t(`groups.${group}`)}>
            <h3 className={styles["group"]}>{t(`groups.${group}`)}</h3>
            <ul className={styles["list"]}>
              {items.map((measure) => (
                <MeasureRow
                  key={measure.key}
                  measure={measure}
                  isOpen={measure.key === chosen}
                  onChoose={onChoose}
                />
              ))}
            </ul>
          </section>
        ))}
        {known.length < measures.length ? (
          <button type="button" className={styles["all"]} onClick={() => setShowsAll(!showsAll)}>
            {showsAll
              ? t("hideMissing")
              : t("showMissing", { count: measures.length - known.length })}
          </button>
        ) : null}
      </div>
    );
  },
);
