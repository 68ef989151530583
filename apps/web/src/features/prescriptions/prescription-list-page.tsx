import { NotebookPen, Plus } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useDeviceNames } from "../../parts/planner-figures.ts";
import { useCase, usePrescriptions } from "./queries.ts";
import { StatusBadge } from "./status-badge.tsx";

/** The plans of a case, newest first. */
export const PrescriptionListPage = () => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const caseId = useParam("caseId");
  const plans = usePrescriptions(caseId);
  const found = useCase(caseId);
  const isVet = useIsRole("vet");
  const format = useFormat();
  const device = useDeviceNames();
  return (
    <>
      <PageHeader
        title={t("listTitle", { horse: found.data?.horse.name ?? "" })}
        back={{ href: `/cases/${caseId}`, label: t("toCase") }}
        actions={
          <>
            <ButtonLink href={`/cases/${caseId}/procedures`} look="quiet">
              {t("toProcedures")}
            </ButtonLink>
            <ButtonLink href="/own-devices" look="quiet">
              {t("ownDevices")}
            </ButtonLink>
            {isVet ? (
              <ButtonLink
                href={`/cases/${caseId}/prescriptions/new`}
                look="primary"
                icon={<Plus aria-hidden />}
              >
                {t("newPlan")}
              </ButtonLink>
            ) : null}
          </>
        }
      />
      <QueryView query={plans}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<NotebookPen aria-hidden />} title={t("none")}>
              {t("noneText")}
            </EmptyState>
          ) : (
            <Card isFlush>
              <Rows
                label={t("listTitle", { horse: found.data?.horse.name ?? "" })}
                rows={items}
                keyOf={(plan) => plan.id}
                columns={[
                  {
                    key: "number",
                    label: t("plan"),
                    hideLabelOnPhone: true,
                    cell: (plan) => (
                      <Link href={`/prescriptions/${plan.id}`}>
                        {t("planNumber", { number: plan.number })}
                      </Link>
                    ),
                  },
                  {
                    key: "status",
                    label: t("statusLabel"),
                    hideLabelOnPhone: true,
                    cell: (plan) => <StatusBadge status={plan.status} />,
                  },
                  { key: "aim", label: t("aim"), cell: (plan) => plan.aim },
                  {
                    key: "feet",
                    label: t("common:feet"),
                    cell: (plan) =>
                      plan.feet.map((foot) => `${foot.foot}: ${device.shoe(foot.shoe)}`).join("; "),
                  },
                  {
                    key: "signed",
                    label: t("signed"),
                    cell: (plan) =>
                      plan.signedAt === null || plan.signedBy === null
                        ? "–"
                        : `${plan.signedBy.name}, ${format.dateTime(plan.signedAt)}`,
                  },
                ]}
              />
            </Card>
          )
        }
      </QueryView>
    </>
  );
};
