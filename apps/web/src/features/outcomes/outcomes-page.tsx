import { useQuery } from "@tanstack/react-query";
import { FileDown } from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";
import { useSearchState } from "../../app/use-address.ts";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField } from "../../components/field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { FiguresCards } from "./figures-cards.tsx";
import { DraftsTable, NotesTable, WeightsTable, WorkloadTable } from "./waiting-tables.tsx";

const SPANS = ["90", "182", "365"] as const;
type Outcomes = Answer<"readOutcomes">;
type Table = "figures" | "workload" | "drafts" | "weights" | "notes";

const Part = ({
  table,
  title,
  days,
  children,
}: {
  readonly table: Table;
  readonly title: string;
  readonly days: number;
  readonly children: ReactNode;
}) => {
  const { t } = useTranslation("outcomes");
  return (
    <Card
      title={title}
      isFlush
      actions={
        <ButtonLink
          look="quiet"
          icon={<FileDown aria-hidden />}
          href={addressOf("exportOutcomes", { query: { days, table } })}
        >
          {t("asTable")}
          <span className="only-read">: {title}</span>
        </ButtonLink>
      }
    >
      {children}
    </Card>
  );
};

const Shown = ({ data }: { readonly data: Outcomes }) => {
  const { t } = useTranslation("outcomes");
  const { days } = data;
  return (
    <div className="stack">
      <p className="quiet">{t("caution", { fewest: data.fewest })}</p>
      <Part table="figures" title={t("figures")} days={days}>
        <FiguresCards data={data} />
      </Part>
      <Part table="workload" title={t("workload")} days={days}>
        <WorkloadTable workload={data.workload} />
      </Part>
      <Part table="drafts" title={`${t("drafts")} (${String(data.drafts.length)})`} days={days}>
        <DraftsTable drafts={data.drafts} />
      </Part>
      <Part
        table="weights"
        title={`${t("weights")} (${String(data.staleWeights.length)})`}
        days={days}
      >
        <WeightsTable weights={data.staleWeights} />
      </Part>
      <Part table="notes" title={`${t("notes")} (${String(data.notes.length)})`} days={days}>
        <NotesTable notes={data.notes} />
      </Part>
    </div>
  );
};

/** How the practice's cases go, each figure with its n, who carries how much, and what waits. */
export const OutcomesPage = () => {
  const { t } = useTranslation("outcomes");
  const format = useFormat();
  const { get, set } = useSearchState();
  const span = SPANS.find((one) => one === get("days")) ?? "365";
  const outcomes = useQuery(read("readOutcomes", { query: { days: Number(span) } }));
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={
          outcomes.data === undefined
            ? undefined
            : t("lead", { time: format.time(outcomes.data.at) })
        }
        actions={
          <ChoiceField
            label={<span className="only-read">{t("span")}</span>}
            value={span}
            onChange={(days) => set({ days: days === "365" ? "" : days })}
            options={SPANS.map((value) => ({ value, label: t(`spans.${value}`) }))}
          />
        }
      />
      <QueryView query={outcomes} lines={12}>
        {(data) => <Shown data={data} />}
      </QueryView>
    </>
  );
};
