import type { Horse, LabResult } from "@heelward/contracts";
import { ClipboardList, Eye, FlaskConical, Plus } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useParam } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { type Column, Rows } from "../../components/data-list.tsx";
import { Findings } from "../../components/findings.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { AddResultDialog } from "../../parts/add-result-dialog.tsx";
import { useHorse, useResults } from "./queries.ts";
import { ReadResultDialog } from "./read-result-dialog.tsx";
import { ResultStanding } from "./result-standing.tsx";
import { SugarTests } from "./sugar-tests.tsx";
import { TrendAlerts } from "./trend-alerts.tsx";
import { TrendCharts } from "./trend-charts.tsx";

const RangeCell = ({ result }: { readonly result: LabResult }) => {
  const { t } = useTranslation("laboratory");
  const format = useFormat();
  const { rangeLow, rangeHigh, cutoff, unit } = result;
  const text = (value: number) => format.number(value, 2);
  const range =
    rangeLow !== null && rangeHigh !== null
      ? `${text(rangeLow)}–${text(rangeHigh)} ${unit}`
      : rangeHigh !== null
        ? `≤ ${text(rangeHigh)} ${unit}`
        : rangeLow !== null
          ? `≥ ${text(rangeLow)} ${unit}`
          : null;
  return (
    <>
      {range ?? (cutoff === null ? <span className="quiet">{t("noRange")}</span> : null)}
      {cutoff === null ? null : <div>{t("cutoffShort", { value: `${text(cutoff)} ${unit}` })}</div>}
      <div className="quiet small">
        {[result.laboratory, result.assay].filter((one) => one !== null).join(", ")}
      </div>
    </>
  );
};

const ReadingCell = ({
  result,
  onRead,
}: {
  readonly result: LabResult;
  readonly onRead: () => void;
}) => {
  const { t } = useTranslation("laboratory");
  const format = useFormat();
  return (
    <div className="stack-tight">
      {result.reading === null ? null : <span>{result.reading}</span>}
      {result.note === null ? null : <span className="quiet">{result.note}</span>}
      <Findings findings={result.findings} hidePasses />
      {result.readBy === null || result.readAt === null ? (
        <div className="row">
          <Badge tone="today" icon={<FlaskConical aria-hidden />}>
            {t("notRead")}
          </Badge>
          <Button look="primary" icon={<Eye aria-hidden />} onClick={onRead}>
            {t("read")}
          </Button>
        </div>
      ) : (
        <span className="quiet small">
          {t("readBy", { name: result.readBy.name, when: format.shortDateTime(result.readAt) })}
          {" · "}
          {result.releasedAt === null
            ? t("notReleased")
            : t("released", { when: format.shortDateTime(result.releasedAt) })}
        </span>
      )}
    </div>
  );
};

const Results = ({ results }: { readonly results: readonly LabResult[] }) => {
  const { t } = useTranslation("laboratory");
  const format = useFormat();
  const [readId, setReadId] = useState<string>();
  const toRead = results.find((one) => one.id === readId);
  const waiting = results.filter((one) => one.readAt === null);
  const read = results.filter((one) => one.readAt !== null);
  const columns: readonly Column<LabResult>[] = [
    {
      key: "test",
      label: t("test"),
      hideLabelOnPhone: true,
      cell: (one) => (
        <>
          <strong>{t(`tests.${one.test as "insulin"}`, { defaultValue: one.test })}</strong>
          <div className="quiet small">{format.date(one.takenOn)}</div>
        </>
      ),
    },
    {
      key: "value",
      label: t("value"),
      hideLabelOnPhone: true,
      cell: (one) => (
        <div className="stack-tight">
          <strong>
            {format.number(one.value, 2)} {one.unit}
          </strong>
          <span>
            <ResultStanding result={one} />
          </span>
        </div>
      ),
    },
    { key: "range", label: t("range"), cell: (one) => <RangeCell result={one} /> },
    {
      key: "reading",
      label: t("reading"),
      hideLabelOnPhone: true,
      cell: (one) => <ReadingCell result={one} onRead={() => setReadId(one.id)} />,
    },
  ];
  return (
    <div className="stack">
      {toRead === undefined ? null : (
        <ReadResultDialog result={toRead} onClose={() => setReadId(undefined)} />
      )}
      {waiting.length === 0 ? null : (
        <Card title={t("waiting")} isFlush>
          <Rows label={t("waiting")} rows={waiting} columns={columns} keyOf={(one) => one.id} />
        </Card>
      )}
      <TrendCharts results={results} />
      {read.length === 0 ? null : (
        <Card title={t("all")} isFlush>
          <Rows label={t("all")} rows={read} columns={columns} keyOf={(one) => one.id} />
        </Card>
      )}
    </div>
  );
};

const Shown = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("laboratory");
  const results = useResults(horse.id);
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <PageHeader
        title={t("title", { horse: horse.name })}
        back={{
          href: horse.openCaseId === null ? `/horses/${horse.id}` : `/cases/${horse.openCaseId}`,
          label: horse.name,
        }}
        lead={t("lead")}
        actions={
          <>
            <Button look="primary" icon={<Plus aria-hidden />} onClick={() => setOpen(true)}>
              {t("add")}
            </Button>
            <ButtonLink href={`/monitoring/${horse.id}`} icon={<ClipboardList aria-hidden />}>
              {t("tasks")}
            </ButtonLink>
          </>
        }
      />
      {isOpen ? <AddResultDialog horse={horse} onClose={() => setOpen(false)} /> : null}
      <div className="stack">
        <ListView
          query={results}
          empty={
            <EmptyState icon={<FlaskConical aria-hidden />} title={t("none")}>
              {t("noneText")}
            </EmptyState>
          }
        >
          {(items) => (
            <div className="stack">
              <TrendAlerts horseId={horse.id} />
              <Results results={items} />
            </div>
          )}
        </ListView>
        <SugarTests horseId={horse.id} />
      </div>
    </>
  );
};

/** Laboratory results of a horse: what waits to be read, the lines over time, and all of them. */
export const LaboratoryPage = () => {
  const horse = useHorse(useParam("horseId"));
  return (
    <QueryView query={horse} lines={8}>
      {(data) => <Shown horse={data} />}
    </QueryView>
  );
};
