import type { Reset } from "@heelward/contracts";
import { CalendarCheck, FileDown, SearchX } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField, SelectField, TextField } from "../../components/field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { Tabs } from "../../components/tabs.tsx";
import { todayIn } from "../../language/format.ts";
import { BoardTable } from "./board-table.tsx";
import { boardOf, choicesOf, type Group, GROUPS, isIn, type Sort, SORTS } from "./board.ts";
import { csvFile, saveText } from "./csv.ts";
import { LoadTables } from "./load-tables.tsx";
import { useBoard } from "./queries.ts";
import styles from "./resets.module.css";
import { WeekCalendar } from "./week-calendar.tsx";

const CSV_COLUMNS = [
  "horse",
  "yard",
  "farrier",
  "state",
  "daysLate",
  "lastDoneOn",
  "intervalDays",
  "dueOn",
  "bookBy",
  "ceilingOn",
  "latestSafeOn",
  "breakoverNowMm",
  "breakoverLimitMm",
  "bookedFor",
  "move",
  "tried",
] as const;

const csvRow = (
  reset: Reset,
): Readonly<Record<(typeof CSV_COLUMNS)[number], string | number | null>> => ({
  ...reset,
  horse: reset.horse.name,
  yard: reset.yard.name,
  farrier: reset.farrier?.name ?? null,
  move: `${reset.whoseMove.person}: ${reset.whoseMove.action}`,
  tried: reset.attempts[0]?.detail ?? null,
});

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
  const { session } = useCurrent();
  const { get, set } = useSearchState();
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
  const save = () =>
    saveText(
      `resets-${todayIn(session.practice.timeZone)}.csv`,
      "text/csv",
      csvFile(
        CSV_COLUMNS.map((column) => t(`csvHead.${column}`)),
        shown.map((reset) => {
          const row = csvRow(reset);
          return CSV_COLUMNS.map((column) => row[column]);
        }),
      ),
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
                    <Button look="quiet" icon={<FileDown aria-hidden />} onClick={save}>
                      {t("csv")}
                    </Button>
                  }
                >
                  <BoardTable resets={shown} />
                </Card>
              ),
          },
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
  const board = useBoard();
  return (
    <>
      <PageHeader title={t("title")} />
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
