import { useQuery } from "@tanstack/react-query";
import { CalendarSync, Plus, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../api/use-call.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, ErrorState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { MakeFeedDialog } from "./make-feed-dialog.tsx";

/** A person's calendar addresses: make one, see which are read, revoke one. */
export const CalendarPage = () => {
  const { t } = useTranslation("calendar");
  const format = useFormat();
  const feeds = useQuery(read("listCalendarFeeds", {}));
  const revoke = useWrite("revokeCalendarFeed");
  const [isMaking, setMaking] = useState(false);
  const make = (
    <Button look="primary" icon={<Plus aria-hidden />} onClick={() => setMaking(true)}>
      {t("make")}
    </Button>
  );
  return (
    <>
      <PageHeader title={t("title")} lead={t("lead")} actions={make} />
      {isMaking ? <MakeFeedDialog onClose={() => setMaking(false)} /> : null}
      <QueryView query={feeds}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<CalendarSync aria-hidden />} title={t("none")}>
              {t("how")}
            </EmptyState>
          ) : (
            <div className="stack">
              <p className="row quiet">
                <TriangleAlert aria-hidden size="1.1em" />
                {t("caution")}
              </p>
              {revoke.error === null ? null : <ErrorState error={revoke.error} />}
              <Card title={t("list")} isFlush>
                <Rows
                  label={t("list")}
                  rows={items}
                  keyOf={(feed) => feed.id}
                  columns={[
                    {
                      key: "label",
                      label: t("label"),
                      hideLabelOnPhone: true,
                      cell: (feed) => <strong>{feed.label}</strong>,
                    },
                    {
                      key: "read",
                      label: "",
                      hideLabelOnPhone: true,
                      cell: (feed) => (
                        <span className="quiet">
                          {t("made", { when: format.day(feed.createdAt) })} ·{" "}
                          {feed.lastReadAt === null
                            ? t("neverRead")
                            : t("lastRead", { when: format.relative(feed.lastReadAt) })}
                        </span>
                      ),
                    },
                    {
                      key: "revoke",
                      label: "",
                      hideLabelOnPhone: true,
                      cell: (feed) =>
                        feed.revokedAt === null ? (
                          <Button
                            look="danger"
                            aria-label={t("revokeOf", { label: feed.label })}
                            isBusy={revoke.isPending}
                            onClick={() => revoke.mutate({ params: { feedId: feed.id } })}
                          >
                            {t("revoke")}
                          </Button>
                        ) : (
                          <Badge>{t("revoked")}</Badge>
                        ),
                    },
                  ]}
                />
              </Card>
            </div>
          )
        }
      </QueryView>
    </>
  );
};
