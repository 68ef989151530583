import { useQuery } from "@tanstack/react-query";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../api/use-call.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { ErrorState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { deviceName } from "./device-name.ts";

/** Where the person is signed in, and how to end that. */
export const SessionsCard = () => {
  const { t } = useTranslation("session");
  const format = useFormat();
  const sessions = useQuery(read("listSessions", {}));
  const end = useWrite("revokeSession");
  return (
    <Card title={t("devices")} isFlush>
      {end.error === null ? null : <ErrorState error={end.error} />}
      <QueryView query={sessions}>
        {({ items }) => (
          <Rows
            label={t("devices")}
            rows={items}
            keyOf={(row) => row.id}
            columns={[
              {
                key: "device",
                label: t("device"),
                hideLabelOnPhone: true,
                cell: (row) => (
                  <span title={row.userAgent ?? undefined}>
                    {row.userAgent === null ? t("unknownDevice") : deviceName(row.userAgent)}
                  </span>
                ),
              },
              {
                key: "used",
                label: t("used"),
                hideLabelOnPhone: true,
                cell: (row) => (
                  <span className="quiet">
                    {t("lastUsed", { when: format.relative(row.lastUsedAt) })} ·{" "}
                    {t("since", { when: format.shortDateTime(row.createdAt) })}
                  </span>
                ),
              },
              {
                key: "end",
                label: "",
                cell: (row) =>
                  row.isThisOne ? (
                    <Badge tone="fine">{t("thisOne")}</Badge>
                  ) : (
                    <Button
                      look="danger"
                      isBusy={end.isPending}
                      onClick={() => end.mutate({ params: { sessionId: row.id } })}
                    >
                      {t("end")}
                    </Button>
                  ),
              },
            ]}
          />
        )}
      </QueryView>
    </Card>
  );
};
