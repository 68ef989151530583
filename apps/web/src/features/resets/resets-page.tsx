import type { Reset } from "@heelward/contracts";
import { CalendarCheck, CalendarPlus, FileDown, Plus, SearchX } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField, SelectField, TextField } from "../../components/field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { Tabs } from "../../components/tabs.tsx";
import { BoardMap } from "./board-map.tsx";
import { BoardTable } from "./board-table.tsx";
import { BookTogetherDialog } from "./book-together-dialog.tsx";
import { boardOf, choicesOf, type Group, GROUPS, isIn, type Sort, SORTS } from "./board.ts";
import { LoadTables } from "./load-tables.tsx";
import { useBoard } from "./queries.ts";
import styles from "./resets.module.css";
import { StartCycleDialog } from "./start-cycle-dialog.tsx";
import { WeekCalendar } from "./week-calendar.tsx";

const oneOf = <T extends string>(all: readonly T[], value: string): T | undefined =>
  all.find((one) => one === value);

const Filters = ({ resets }: { readonly resets: readonly Reset[] }) => {
  const { t } = useTranslation("resets");
  const { get, set } = useSearchState();
  // On a phone the board comes first; its filters open on demand.
  const [isWide] = useState(() => window.matchMedia("(min-width: 48rem)").matches);
  return (
    <div className="stack no-print">
      <ChoiceField<Group | "all">
        label={<span className="only-read">{t("show")}</span>}
        value={oneOf(GROUPS, get("show")) ?? "all"}
        onChange={(show) => set({ show: show === "all" ? "" : show })}
        options={[
          { value: "all", label: `${t("all")} ${String(resets.length)}` },
          ...GROUPS.map((group) => ({
            value: group,
            label: `${t(`groups.${group}`)} ${String(resets.filter((reset) => isIn(group, reset)).length)}`,
          })),
        ]}
      />
      <details className={styles["filters"]} open={isWide}>
        <summary>{t("filters")}</summary>
        <div className="columns">
          <TextField
            label={t("find")}
            type="search"
            placeholder={t("findHint")}
            value={get("q")}
            onChange={(q) => set({ q })}
          />
          <SelectField
            label={t("farrier")}
            value={get("farrier")}
            onChange={(farrier) => set({ farrier })}
            emptyLabel={t("anyFarrier")}
            options={choicesOf(resets, (reset) => reset.farrier)}
          />
          <SelectField
            label={t("yard")}
            value={get("yard")}
            onChange={(yard) => set({ yard })}
            emptyLabel={t("anyYard")}
            options={choicesOf(resets, (reset) => reset.yard)}
          />
          <SelectField<Sort>
            label={t("sort")}
            value={oneOf(SORTS, get("sort")) ?? "late"}
            onChange={(sort) => set({ sort })}
            options={SORTS.map((one) => ({ value: one, label: t(`sorts.${one}`) }))}
          />
        </div>
      </details>
    </div>
  );
};

const Board = ({ resets }: { readonly resets: readonly Reset[] }) => {
  const { t } = useTranslation("resets");
  const isOffice = useIsRole("vet", "manager");
  const { get, set } = useSearchState();
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [isBooking, setBooking] = useState(false);
  const choosing = {
    ids: chosen,
    toggle: (id: string) =>
      setChosen((before) => {
        const after = new Set(before);
        if (!after.delete(id)) after.add(id);
        return after;
      }),
  };
  const together = resets.filter((reset) => chosen.has(reset.id));
  const shown = boardOf(
    resets,
    {
      group: oneOf(GROUPS, get("show")) ?? "",
      farrierId: get("farrier"),
      yardId: get("yard"),
      text: get("q"),
    },
    oneOf(SORTS, get("sort")) ?? "late",
  );
  const nothing = (
    <EmptyState
      icon={<SearchX aria-hidden />}
      title={t("none")}
      action={
        <Button onClick={() => set({ show: "", q: "", farrier: "", yard: "" })}>
          {t("clear")}
        </Button>
      }
    >
      {t("noneText")}
    </EmptyState>
  );
  return (
    <div className="stack">
      <Filters resets={resets} />
      {isBooking ? (
        <BookTogetherDialog
          resets={together}
          onClose={() => {
            setBooking(false);
            setChosen(new Set());
          }}
        />
      ) : null}
      {together.length === 0 ? null : (
        <div className={styles["chosenBar"]}>
          <strong aria-live="polite">{t("chosen", { count: together.length })}</strong>
          <Button
            look="primary"
            icon={<CalendarPlus aria-hidden />}
            onClick={() => setBooking(true)}
          >
            {t("bookTogether")}
          </Button>
          <Button look="quiet" onClick={() => setChosen(new Set())}>
            {t("chooseNone")}
          </Button>
        </div>
      )}
      <Tabs
        label={t("title")}
        selected={get("view") === "" ? "board" : get("view")}
        onSelect={(view) => set({ view: view === "board" ? "" : view })}
        items={[
          {
            id: "board",
            label: t("board"),
            content:
              shown.length === 0 ? (
                nothing
              ) : (
                <Card
                  isFlush
                  title={t("lead", { count: shown.length })}
                  actions={
                    isOffice ? (
                      <ButtonLink
                        look="quiet"
                        icon={<FileDown aria-hidden />}
                        href={addressOf("exportResets", {
                          query: { farrierId: get("farrier"), yardId: get("yard") },
                        })}
                      >
                        {t("csv")}
                      </ButtonLink>
                    ) : undefined
                  }
                >
                  <BoardTable resets={shown} choosing={choosing} />
                </Card>
              ),
          },
          { id: "map", label: t("map"), content: <BoardMap resets={shown} /> },
          { id: "calendar", label: t("calendar"), content: <WeekCalendar resets={shown} /> },
          { id: "load", label: t("load"), content: <LoadTables resets={shown} /> },
        ]}
      />
    </div>
  );
};

/** Every horse's reset against its window: who has it, why it slipped, what to do next. */
export const ResetsPage = () => {
  const { t } = useTranslation("resets");
  const isOffice = useIsRole("vet", "manager");
  const [isStarting, setStarting] = useState(false);
  const board = useBoard();
  return (
    <>
      <PageHeader
        title={t("title")}
        actions={
          isOffice ? (
            <Button icon={<Plus aria-hidden />} onClick={() => setStarting(true)}>
              {t("startCycle")}
            </Button>
          ) : undefined
        }
      />
      {isStarting ? <StartCycleDialog onClose={() => setStarting(false)} /> : null}
      <QueryView query={board} lines={8}>
        {(resets) =>
          resets.length === 0 ? (
            <EmptyState icon={<CalendarCheck aria-hidden />} title={t("empty")}>
              {t("emptyText")}
            </EmptyState>
          ) : (
            <Board resets={resets} />
          )
        }
      </QueryView>
    </>
  );
};
