import type { HorseItem } from "@heelward/contracts";
import { Plus, SearchX } from "lucide-react";
import { useDeferredValue } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { PhasePill } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { type Column, Rows } from "../../components/data-list.tsx";
import { SelectField, TextField } from "../../components/field.tsx";
import { Link } from "../../components/link.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useHorses, useYards } from "./queries.ts";

const STATUSES = ["active", "away", "sold", "died"] as const;
const SORTS = ["name", "-name", "yard"] as const;
type Status = (typeof STATUSES)[number];
type Sort = (typeof SORTS)[number];

const oneOf = <T extends string>(all: readonly T[], value: string): T | undefined =>
  all.find((one) => one === value);

const Filters = () => {
  const { t } = useTranslation("horses");
  const { get, set } = useSearchState();
  const yards = useYards();
  return (
    <div className="filters no-print">
      <TextField
        label={t("find")}
        type="search"
        placeholder={t("findHint")}
        value={get("q")}
        onChange={(q) => set({ q })}
      />
      <SelectField
        label={t("yard")}
        value={get("yard")}
        onChange={(yard) => set({ yard })}
        emptyLabel={t("allYards")}
        options={(yards.data?.items ?? []).map((yard) => ({ value: yard.id, label: yard.name }))}
      />
      <SelectField<Status>
        label={t("status")}
        value={oneOf(STATUSES, get("status")) ?? "active"}
        onChange={(status) => set({ status })}
        options={STATUSES.map((one) => ({ value: one, label: t(`statuses.${one}`) }))}
      />
      <SelectField<Sort>
        label={t("sort")}
        value={oneOf(SORTS, get("sort")) ?? "name"}
        onChange={(sort) => set({ sort })}
        options={SORTS.map((one) => ({ value: one, label: t(`sorts.${one}`) }))}
      />
    </div>
  );
};

const useColumns = (): readonly Column<HorseItem>[] => {
  const { t } = useTranslation(["horses", "common"]);
  return [
    {
      key: "name",
      label: t("name"),
      hideLabelOnPhone: true,
      cell: (horse) => (
        <>
          <Link href={`/horses/${horse.id}`}>
            <strong>{horse.name}</strong>
          </Link>{" "}
          <span className="quiet small">{horse.breed ?? t(`common:horseType.${horse.type}`)}</span>
        </>
      ),
    },
    { key: "yard", label: t("yard"), cell: (horse) => horse.yard.name },
    {
      key: "owner",
      label: t("owner"),
      cell: (horse) => horse.owners.map((owner) => owner.name).join(", ") || t("noOwner"),
    },
    {
      key: "farrier",
      label: t("farrier"),
      cell: (horse) => horse.farrier?.name ?? t("noFarrier"),
    },
    {
      key: "phase",
      label: t("phase"),
      cell: (horse) =>
        horse.openCaseId === null ? (
          <span className="quiet">{t("noCase")}</span>
        ) : (
          <Link href={`/cases/${horse.openCaseId}`}>
            {horse.phase === null ? t("openCase") : <PhasePill phase={horse.phase} />}
          </Link>
        ),
    },
  ];
};

export const HorsesPage = () => {
  const { t } = useTranslation(["horses", "common"]);
  const { get } = useSearchState();
  const mayAdd = useIsRole("vet", "manager");
  const q = useDeferredValue(get("q").trim());
  const yardId = get("yard");
  const horses = useHorses({
    status: oneOf(STATUSES, get("status")) ?? "active",
    sort: oneOf(SORTS, get("sort")) ?? "name",
    ...(q === "" ? {} : { q }),
    ...(yardId === "" ? {} : { yardId }),
  });
  const columns = useColumns();
  return (
    <>
      <PageHeader
        title={t("title")}
        actions={
          mayAdd ? (
            <ButtonLink href="/horses/new" look="primary" icon={<Plus aria-hidden />}>
              {t("add")}
            </ButtonLink>
          ) : undefined
        }
      />
      <div className="stack">
        <Filters />
        <Card isFlush>
          <ListView
            query={horses}
            empty={
              <EmptyState icon={<SearchX aria-hidden />} title={t("none")}>
                {t("noneText")}
              </EmptyState>
            }
          >
            {(items) => (
              <Rows label={t("title")} rows={items} columns={columns} keyOf={(row) => row.id} />
            )}
          </ListView>
        </Card>
      </div>
    </>
  );
};
