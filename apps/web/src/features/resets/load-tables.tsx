import type { Reset } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { isBooked, isIn, isLate } from "./board.ts";
import { ComplianceCard } from "./compliance-card.tsx";

interface Load {
  readonly name: string;
  readonly resets: readonly Reset[];
}

const loadsOf = (resets: readonly Reset[], nameOf: (reset: Reset) => string): readonly Load[] =>
  [...new Set(resets.map(nameOf))]
    .map((name) => ({ name, resets: resets.filter((reset) => nameOf(reset) === name) }))
    .toSorted(
      (a, b) =>
        b.resets.filter(isLate).length - a.resets.filter(isLate).length ||
        a.name.localeCompare(b.name),
    );

const LoadCard = ({
  title,
  label,
  loads,
}: {
  readonly title: string;
  readonly label: string;
  readonly loads: readonly Load[];
}) => {
  const { t } = useTranslation(["resets", "common"]);
  const count = (test: (reset: Reset) => boolean) => (load: Load) =>
    String(load.resets.filter(test).length);
  return (
    <Card title={title} isFlush>
      <Rows
        label={title}
        rows={loads}
        keyOf={(load) => load.name}
        columns={[
          {
            key: "name",
            label,
            hideLabelOnPhone: true,
            cell: (load) => <strong>{load.name}</strong>,
          },
          { key: "late", label: t("loadLate"), cell: count(isLate) },
          {
            key: "due",
            label: t("loadDue"),
            cell: count((reset) => isIn("due", reset) || isIn("soon", reset)),
          },
          { key: "open", label: t("loadOpen"), cell: count((reset) => isIn("unbooked", reset)) },
          { key: "booked", label: t("loadBooked"), cell: count(isBooked) },
          {
            key: "latest",
            label: t("loadOldest"),
            cell: ({ resets }) => {
              const latest = Math.max(0, ...resets.filter(isLate).map((one) => one.daysLate));
              return latest === 0 ? "–" : t("common:reset.late", { count: latest });
            },
          },
        ]}
      />
    </Card>
  );
};

/** Who carries what: counts by farrier and by yard, the latest first. */
export const LoadTables = ({ resets }: { readonly resets: readonly Reset[] }) => {
  const { t } = useTranslation("resets");
  const isOffice = useIsRole("vet", "manager");
  return (
    <div className="stack">
      {isOffice ? <ComplianceCard /> : null}
      <LoadCard
        title={t("loadOf")}
        label={t("farrier")}
        loads={loadsOf(resets, (reset) => reset.farrier?.name ?? t("noFarrier"))}
      />
      <LoadCard
        title={t("loadYard")}
        label={t("yard")}
        loads={loadsOf(resets, (reset) => reset.yard.name)}
      />
    </div>
  );
};
