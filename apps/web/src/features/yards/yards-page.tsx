import { Plus, SearchX } from "lucide-react";
import { useDeferredValue } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { TextField } from "../../components/field.tsx";
import { Link } from "../../components/link.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useYardList } from "./queries.ts";
import { telHref } from "../../parts/tel-href.ts";

export const YardsPage = () => {
  const { t } = useTranslation(["yards", "common"]);
  const { get, set } = useSearchState();
  const mayAdd = useIsRole("vet", "manager");
  const yards = useYardList(useDeferredValue(get("q").trim()));
  return (
    <>
      <PageHeader
        title={t("title")}
        actions={
          mayAdd ? (
            <ButtonLink href="/yards/new" look="primary" icon={<Plus aria-hidden />}>
              {t("add")}
            </ButtonLink>
          ) : undefined
        }
      />
      <div className="stack">
        <div className="filters no-print">
          <TextField
            label={t("find")}
            type="search"
            value={get("q")}
            onChange={(q) => set({ q })}
          />
        </div>
        <Card isFlush>
          <ListView
            query={yards}
            empty={
              <EmptyState icon={<SearchX aria-hidden />} title={t("none")}>
                {t("noneText")}
              </EmptyState>
            }
          >
            {(items) => (
              <Rows
                label={t("title")}
                rows={items}
                keyOf={(yard) => yard.id}
                columns={[
                  {
                    key: "name",
                    label: t("name"),
                    hideLabelOnPhone: true,
                    cell: (yard) => (
                      <Link href={`/yards/${yard.id}`}>
                        <strong>{yard.name}</strong>
                      </Link>
                    ),
                  },
                  {
                    key: "horses",
                    label: t("horses"),
                    hideLabelOnPhone: true,
                    cell: (yard) => t("horseCount", { count: yard.horseCount }),
                  },
                  {
                    key: "people",
                    label: t("people"),
                    cell: (yard) => yard.people.map((one) => one.name).join(", "),
                  },
                  {
                    key: "phone",
                    label: t("phone"),
                    cell: (yard) =>
                      yard.phone === null ? (
                        <span className="quiet">{t("common:unknown")}</span>
                      ) : (
                        <a href={telHref(yard.phone)}>{yard.phone}</a>
                      ),
                  },
                  { key: "signal", label: t("signal"), cell: (yard) => yard.signal },
                ]}
              />
            )}
          </ListView>
        </Card>
      </div>
    </>
  );
};
