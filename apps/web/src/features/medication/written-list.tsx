import type { Horse, WrittenPrescription } from "@heelward/contracts";
import { CalendarX, FileText } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Link } from "../../components/link.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { useWrittenPrescriptions } from "./queries.ts";

const textOf = (one: WrittenPrescription, field: string): string =>
  one.fields.find((entry) => entry.field === field)?.text ?? "";

/** Written prescriptions of a horse, latest first. */
export const WrittenList = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const format = useFormat(horse.yard.timeZone);
  const written = useWrittenPrescriptions(horse.id);
  const today = todayIn(horse.yard.timeZone);
  return (
    <QueryView query={written}>
      {({ items }) =>
        items.length === 0 ? (
          <EmptyState icon={<FileText aria-hidden />} title={t("written.none")}>
            {t("written.noneText")}
          </EmptyState>
        ) : (
          <Card title={t("tabs.written")} isFlush>
            <Rows
              label={t("tabs.written")}
              rows={items}
              keyOf={(one) => one.id}
              columns={[
                {
                  key: "what",
                  label: t("drug"),
                  hideLabelOnPhone: true,
                  cell: (one) => (
                    <>
                      <Link href={`/written-prescriptions/${one.id}`}>
                        {t("written.number", { number: one.number })}
                      </Link>
                      <div>{textOf(one, "product")}</div>
                      <div className="quiet small">{textOf(one, "quantity")}</div>
                    </>
                  ),
                },
                {
                  key: "when",
                  label: t("written.issued"),
                  cell: (one) => (
                    <>
                      {format.date(one.issuedOn)}
                      <div className="quiet small">{one.issuedBy.name}</div>
                    </>
                  ),
                },
                {
                  key: "valid",
                  label: t("written.lastOn"),
                  cell: (one) => (
                    <div className="row">
                      {format.date(one.lastOn)}
                      {one.lastOn < today ? (
                        <Badge icon={<CalendarX aria-hidden />}>{t("written.over")}</Badge>
                      ) : null}
                    </div>
                  ),
                },
                {
                  key: "supplies",
                  label: t("written.supplies"),
                  cell: (one) =>
                    t("written.supplied", { done: one.supplies.length, all: one.repeats + 1 }),
                },
              ]}
            />
          </Card>
        )
      }
    </QueryView>
  );
};
