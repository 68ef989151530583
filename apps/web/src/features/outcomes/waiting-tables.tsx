import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { Badge } from "../../components/badges.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Link } from "../../components/link.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";

type Outcomes = Answer<"readOutcomes">;

const COUNTS = [
  "visits",
  "examinations",
  "signatures",
  "doses",
  "notesRead",
  "openResets",
  "openNotes",
] as const;

/** What each person did over the days looked at, and what lies before them now. */
export const WorkloadTable = ({ workload }: { readonly workload: Outcomes["workload"] }) => {
  const { t } = useTranslation(["outcomes", "common"]);
  return (
    <Rows
      label={t("workload")}
      rows={workload}
      keyOf={(row) => row.person.id}
      columns={[
        {
          key: "person",
          label: t("person"),
          hideLabelOnPhone: true,
          cell: (row) => (
            <>
              <strong>{row.person.name}</strong>
              <div className="quiet small">
                {row.roles.map((role) => t(`common:role.${role}`)).join(", ")}
              </div>
            </>
          ),
        },
        ...COUNTS.map((key) => ({
          key,
          label: t(key),
          cell: (row: Outcomes["workload"][number]) => row[key],
        })),
        { key: "drafts", label: t("openDrafts"), cell: (row) => row.drafts },
      ]}
    />
  );
};

export const DraftsTable = ({ drafts }: { readonly drafts: Outcomes["drafts"] }) => {
  const { t } = useTranslation("outcomes");
  const format = useFormat();
  if (drafts.length === 0) return <EmptyState title={t("noDrafts")} />;
  return (
    <Rows
      label={t("drafts")}
      rows={drafts}
      keyOf={(row) => row.id}
      columns={[
        { key: "horse", label: t("horse"), cell: (row) => <strong>{row.horse.name}</strong> },
        {
          key: "draft",
          label: t("draft"),
          cell: (row) => (
            <Link href={row.href}>
              {t(`whats.${row.what}`)}: {row.title}
            </Link>
          ),
        },
        { key: "by", label: t("draftedBy"), cell: (row) => row.draftedBy.name },
        { key: "since", label: t("since"), cell: (row) => format.shortDateTime(row.draftedAt) },
      ]}
    />
  );
};

export const WeightsTable = ({ weights }: { readonly weights: Outcomes["staleWeights"] }) => {
  const { t } = useTranslation("outcomes");
  if (weights.length === 0) return <EmptyState title={t("noWeights")} />;
  return (
    <Rows
      label={t("weights")}
      rows={weights}
      keyOf={(row) => row.horse.id}
      columns={[
        {
          key: "horse",
          label: t("horse"),
          cell: (row) => (
            <>
              <Link href={`/horses/${row.horse.id}`}>{row.horse.name}</Link>{" "}
              <span className="quiet small">{row.yard}</span>
            </>
          ),
        },
        {
          key: "weighed",
          label: t("weighed"),
          cell: (row) => (row.ageDays === null ? t("never") : t("daysAgo", { count: row.ageDays })),
        },
        {
          key: "medicines",
          label: t("medicines"),
          cell: (row) => (row.medicines.length === 0 ? "–" : row.medicines.join(", ")),
        },
      ]}
    />
  );
};

export const NotesTable = ({ notes }: { readonly notes: Outcomes["notes"] }) => {
  const { t } = useTranslation(["outcomes", "common"]);
  const format = useFormat();
  if (notes.length === 0) return <EmptyState title={t("noNotes")} />;
  return (
    <Rows
      label={t("notes")}
      rows={notes}
      keyOf={(row) => row.id}
      columns={[
        {
          key: "horse",
          label: t("horse"),
          cell: (row) => <Link href={`/horses/${row.horse.id}`}>{row.horse.name}</Link>,
        },
        { key: "note", label: t("note"), cell: (row) => row.situation },
        {
          key: "to",
          label: t("to"),
          cell: (row) => row.toPerson?.name ?? t(`common:role.${row.toRole}`),
        },
        {
          key: "by",
          label: t("by"),
          cell: (row) => (
            <>
              {format.shortDateTime(row.acknowledgeBy)}{" "}
              {row.isLate ? <Badge tone="now">{t("late")}</Badge> : null}
            </>
          ),
        },
      ]}
    />
  );
};
