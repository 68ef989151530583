import type { BoardRow } from "@heelward/contracts";
import { useQuery } from "@tanstack/react-query";
import { PenLine, SearchX, Sunrise } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";
import { useSearchState } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { ListFilter } from "../../parts/list-filter.tsx";
import { SavedViews } from "../../parts/saved-views.tsx";
import { BoardLine } from "./board-line.tsx";
import styles from "./morning.module.css";

const GROUPS = ["now", "today", "soon", "later", "none"] as const;
type Group = (typeof GROUPS)[number];

const groupOf = (row: BoardRow): Group => row.urgency ?? "none";

const fits = (row: BoardRow, group: string, text: string): boolean =>
  (group === "" || groupOf(row) === group) &&
  [row.horse.name, row.yard, row.next?.title ?? "", row.next?.reason ?? ""]
    .join(" ")
    .toLowerCase()
    .includes(text.toLowerCase());

const Board = ({ board }: { readonly board: Answer<"readMorningBoard"> }) => {
  const { t } = useTranslation("morning");
  const { get, set } = useSearchState();
  const [group, text] = [get("show"), get("q")];
  const shown = board.items.filter((row) => fits(row, group, text));
  if (board.items.length === 0)
    return (
      <EmptyState icon={<Sunrise aria-hidden />} title={t("emptyTitle")}>
        {t("emptyText")}
      </EmptyState>
    );
  const countOf = (one: Group) => board.items.filter((row) => groupOf(row) === one).length;
  return (
    <div className="stack">
      <ListFilter
        label={t("filter")}
        all={{ label: t("all"), count: board.items.length }}
        groups={GROUPS.map((one) => ({
          value: one,
          label: t(`groups.${one}`),
          count: countOf(one),
        }))}
        find={t("find")}
      />
      <SavedViews board="morning" />
      {shown.length === 0 ? (
        <EmptyState
          icon={<SearchX aria-hidden />}
          title={t("noMatch")}
          action={<Button onClick={() => set({ show: "", q: "" })}>{t("clear")}</Button>}
        />
      ) : (
        <ol className={styles["board"]}>
          {shown.map((row) => (
            <BoardLine key={row.caseId} row={row} />
          ))}
        </ol>
      )}
      {board.withoutCase === 0 ? null : (
        <p className="quiet">
          {t("withoutCase", { count: board.withoutCase })} <Link href="/">{t("toQueue")}</Link>
        </p>
      )}
    </div>
  );
};

/** Every open case once, in the order of the vet's queue, with what is new and what is next. */
export const MorningPage = () => {
  const { t } = useTranslation("morning");
  const format = useFormat();
  const board = useQuery(read("readMorningBoard", {}));
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={
          board.data === undefined
            ? undefined
            : t("lead", { count: board.data.items.length, time: format.time(board.data.at) })
        }
        actions={
          <ButtonLink href="/signing" icon={<PenLine aria-hidden />}>
            {t("toSign")}
          </ButtonLink>
        }
      />
      <QueryView query={board} lines={10}>
        {(data) => <Board board={data} />}
      </QueryView>
    </>
  );
};
