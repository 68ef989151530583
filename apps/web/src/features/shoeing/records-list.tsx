import { CircleCheck, Footprints, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Link } from "../../components/link.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useShoeingRecords } from "./queries.ts";

/** What was done to the feet of a horse, latest first. */
export const RecordsList = ({ horseId }: { readonly horseId: string }) => {
  const { t } = useTranslation(["shoeing", "common"]);
  const records = useShoeingRecords(horseId);
  const format = useFormat();
  return (
    <QueryView query={records}>
      {({ items }) =>
        items.length === 0 ? (
          <EmptyState icon={<Footprints aria-hidden />} title={t("noRecords")} />
        ) : (
          <Card title={t("records")} isFlush>
            <Rows
              label={t("records")}
              rows={items}
              keyOf={(record) => record.id}
              columns={[
                {
                  key: "when",
                  label: t("doneAt"),
                  hideLabelOnPhone: true,
                  cell: (record) => (
                    <Link href={`/shoeing/${horseId}/records/${record.id}`}>
                      {format.dateTime(record.doneAt)}
                    </Link>
                  ),
                },
                {
                  key: "how",
                  label: t("how"),
                  hideLabelOnPhone: true,
                  cell: (record) => (
                    <Badge
                      tone={record.asPlanned ? "fine" : "today"}
                      icon={
                        record.asPlanned ? (
                          <CircleCheck aria-hidden />
                        ) : (
                          <TriangleAlert aria-hidden />
                        )
                      }
                    >
                      {record.asPlanned ? t("wasAsPlanned") : t("wasDifferent")}
                    </Badge>
                  ),
                },
                {
                  key: "feet",
                  label: t("common:feet"),
                  cell: (record) => record.feet.map((foot) => foot.foot).join(", "),
                },
                { key: "who", label: t("farrier"), cell: (record) => record.farrier.name },
                {
                  key: "next",
                  label: t("nextOn"),
                  cell: (record) =>
                    record.nextResetOn === null ? t("notBooked") : format.date(record.nextResetOn),
                },
              ]}
            />
          </Card>
        )
      }
    </QueryView>
  );
};
