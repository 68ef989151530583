import type { SeriesView } from "@heelward/contracts";
import { localDateOf } from "@heelward/domain/time";
import { ChartLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useParam, useSearchState } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField } from "../../components/field.tsx";
import { Findings, SourceNote } from "../../components/findings.tsx";
import { Rows } from "../../components/data-list.tsx";
import { type ChartMark, LineChart, markLetter } from "../../components/line-chart.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { VerdictBadge } from "./compare/changes-table.tsx";
import { type Foot, useCase, useSeries } from "./queries.ts";
import { useChartMarks } from "./use-chart-marks.ts";
import { signed } from "./workbench/measure-film.ts";
import { digitsOf, UNITS } from "./workbench/measures-panel.tsx";
import styles from "./series.module.css";

const UNIT_WORDS: Readonly<Record<string, string>> = { mm: " mm", deg: "°", "%": " %" };
const FEET: readonly Foot[] = ["LF", "RF", "LH", "RH"];
const MAIN = [
  "palmarAngleFoot",
  "soleDepthTip",
  "soleDepthWing",
  "founderDistance",
  "capsularRotation",
  "hornLamellarProximal",
  "hornLamellarDistal",
  "breakoverDistance",
  "phalangealRotation",
];

type Measurement = SeriesView["films"][number]["measurements"][number];

const measureKeys = (series: SeriesView, showsAll: boolean): readonly string[] => {
  const known = new Set(
    series.films.flatMap((film) =>
      film.measurements.filter((one) => one.value !== null).map((one) => one.key),
    ),
  );
  const main = MAIN.filter((key) => known.has(key));
  return showsAll ? [...main, ...[...known].filter((key) => !main.includes(key))] : main;
};

const MeasureChart = ({
  series,
  measure,
  marks,
  toDate,
}: {
  readonly series: SeriesView;
  readonly measure: Measurement;
  readonly marks: readonly ChartMark[];
  readonly toDate: (iso: string) => string;
}) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const points = series.films.flatMap((film) => {
    const one = film.measurements.find((reading) => reading.key === measure.key);
    if (one?.value === undefined || one.value === null) return [];
    return [
      {
        on: toDate(film.takenAt),
        value: one.value,
        ...(one.interval95 === null ? {} : one.interval95),
      },
    ];
  });
  const last = series.changes.findLast((change) => change.key === measure.key);
  const { reference } = measure;
  const target =
    reference !== null &&
    measure.verdict !== "no reference" &&
    reference.low !== null &&
    reference.high !== null
      ? { low: reference.low, high: reference.high }
      : undefined;
  return (
    <li className={styles["chart"]}>
      <LineChart
        title={measure.label}
        unit={UNITS[measure.unit]}
        points={points}
        target={target}
        marks={marks}
        namesMarks={false}
      />
      {last === undefined ? null : (
        <p className="row small">
          <span className="quiet">{t("lastChange")}:</span>
          <VerdictBadge verdict={last.verdict} />
          {last.difference === null
            ? last.text
            : t("changeBy", {
                change: signed(last.difference, digitsOf(measure.unit), format.number),
                least: format.number(last.smallestRealChange ?? 0, digitsOf(measure.unit)),
                unit: UNITS[measure.unit],
              })}
        </p>
      )}
    </li>
  );
};

/** What the letters in the charts stand for, once for all of them. */
const MarksLegend = ({ marks }: { readonly marks: readonly ChartMark[] }) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  if (marks.length === 0) return null;
  return (
    <details className={styles["legend"]}>
      <summary>{t("marked", { count: marks.length })}</summary>
      <ul>
        {marks.map((mark, index) => (
          <li key={mark.on + mark.label}>
            <b>{markLetter(index)}</b> {format.date(mark.on)}: {mark.label}
          </li>
        ))}
      </ul>
    </details>
  );
};

/** Left and right beside each other, by the newest film of each. Some difference is common in sound animals. */
const BothSides = ({ sides }: { readonly sides: NonNullable<SeriesView["sides"]> }) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const say = (value: number | null, unit: string) =>
    value === null
      ? "–"
      : `${format.number(value, unit === "ratio" ? 2 : 1)}${UNIT_WORDS[unit] ?? ""}`;
  return (
    <Card title={t("sides.title")} isFlush>
      <p className={`${styles["lead"] ?? ""} quiet small`}>
        {t("sides.lead", {
          left: format.day(sides.left.takenAt),
          right: format.day(sides.right.takenAt),
        })}
      </p>
      <Rows
        label={t("sides.title")}
        rows={sides.differences.filter((one) => MAIN.includes(one.key))}
        keyOf={(one) => one.key}
        columns={[
          {
            key: "measure",
            label: t("measure"),
            cell: (one) => <strong>{one.label}</strong>,
            hideLabelOnPhone: true,
          },
          { key: "left", label: t("sides.left"), cell: (one) => say(one.leftValue, one.unit) },
          { key: "right", label: t("sides.right"), cell: (one) => say(one.rightValue, one.unit) },
          {
            key: "difference",
            label: t("sides.difference"),
            cell: (one) =>
              one.difference === null ? (
                one.text
              ) : (
                <>
                  {signed(one.difference, 1, format.number)}
                  {UNIT_WORDS[one.unit] ?? ""}{" "}
                  <span className="quiet small">± {say(one.smallestRealChange, one.unit)}</span>
                </>
              ),
          },
          { key: "verdict", label: "", cell: (one) => <VerdictBadge verdict={one.verdict} /> },
        ]}
      />
    </Card>
  );
};

const Literature = ({ items }: { readonly items: SeriesView["literature"] }) => {
  const { t } = useTranslation("radiographs");
  if (items.length === 0) return null;
  return (
    <Card title={t("literature")}>
      <div className="stack">
        <p className="quiet">{t("literatureLead")}</p>
        <ul className={styles["said"]}>
          {items.map((one) => (
            <li key={one.text + one.source.id}>
              <p>{one.text}</p>
              <p className="quiet small">{one.caution}</p>
              <SourceNote source={one.source} />
            </li>
          ))}
        </ul>
      </div>
    </Card>
  );
};

const Series = ({
  series,
  marks,
}: {
  readonly series: SeriesView;
  readonly marks: readonly ChartMark[];
}) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const [showsAll, setShowsAll] = useState(false);
  const toDate = (iso: string) => localDateOf(Date.parse(iso), format.timeZone);
  const first = series.films[0];
  if (first === undefined)
    return (
      <EmptyState icon={<ChartLine aria-hidden />} title={t("noSeries")}>
        {t("noSeriesText")}
      </EmptyState>
    );
  const start = toDate(first.takenAt);
  const measures = measureKeys(series, showsAll).flatMap((key) => {
    const newest = series.films
      .toReversed()
      .flatMap((film) =>
        film.measurements.filter((one) => one.key === key && one.value !== null),
      )[0];
    return newest === undefined ? [] : [newest];
  });
  return (
    <div className="stack">
      {series.findings.length === 0 ? null : (
        <Card title={t("watch")}>
          <Findings findings={series.findings} />
        </Card>
      )}
      <p className="row small">
        {series.films.map((film) => (
          <Link key={film.radiographId} href={`/films/${film.radiographId}`}>
            {format.day(film.takenAt)}
          </Link>
        ))}
      </p>
      <MarksLegend marks={marks.filter((mark) => mark.on >= start)} />
      <ul className={styles["charts"]}>
        {measures.map((measure) => (
          <MeasureChart
            key={measure.key}
            series={series}
            measure={measure}
            marks={marks.filter((mark) => mark.on >= start)}
            toDate={toDate}
          />
        ))}
      </ul>
      <div>
        <Button look="quiet" onClick={() => setShowsAll(!showsAll)}>
          {showsAll ? t("mainMeasures") : t("allMeasures")}
        </Button>
      </div>
      {series.sides === null ? null : <BothSides sides={series.sides} />}
      <Literature items={series.literature} />
    </div>
  );
};

/** Each measure of one foot from film to film, with its error, what was done between, and what changed for real. */
export const SeriesPage = () => {
  const { t } = useTranslation(["radiographs", "common"]);
  const caseId = useParam("caseId");
  const { get, set } = useSearchState();
  const found = useCase(caseId);
  const foot = FEET.find((one) => one === get("foot")) ?? "LF";
  const series = useSeries(caseId, foot);
  const marks = useChartMarks(found.data?.horse.id, caseId, foot);
  return (
    <>
      <PageHeader
        title={t("seriesTitle", { horse: found.data?.horse.name ?? "" })}
        lead={t("seriesLead")}
        back={{ href: `/cases/${caseId}/films`, label: t("toFilms") }}
      />
      <div className="stack">
        <ChoiceField
          label={<span className="only-read">{t("whichFoot")}</span>}
          name="foot"
          value={foot}
          onChange={(value) => set({ foot: value })}
          options={FEET.map((value) => ({ value, label: t(`common:foot.${value}`) }))}
        />
        <QueryView query={series}>{(data) => <Series series={data} marks={marks} />}</QueryView>
      </div>
    </>
  );
};
