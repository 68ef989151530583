import type { QueueItem, QueueView } from "@heelward/contracts";
import { useRouter } from "@tanstack/react-router";
import { CircleCheckBig, SearchX } from "lucide-react";
import { useDeferredValue, useEffect } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { UrgencyBadge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { ListFilter } from "../../parts/list-filter.tsx";
import { useQueue } from "./queries.ts";
import { QueueRow } from "./queue-row.tsx";
import styles from "./queue.module.css";

const SavedViews = lazyPart(() => import("../../parts/saved-views.tsx").then((m) => m.SavedViews));

const URGENCIES = ["now", "today", "soon", "later"] as const;
type Urgency = (typeof URGENCIES)[number];

/** Lines that fill a screen: they are drawn at once, the rest right behind them, a few at a time. */
const FIRST_LINES = 14;

const fits = (item: QueueItem, urgency: string, text: string): boolean =>
  (urgency === "" || item.urgency === urgency) &&
  [item.horse?.name, item.yard, item.title, item.reason]
    .join(" ")
    .toLowerCase()
    .includes(text.toLowerCase());

/** The lines that fit, in their groups; under another filter they are drawn anew, its first lines first. */
const Lines = ({ items }: { readonly items: readonly QueueItem[] }) => {
  const { t } = useTranslation("queues");
  const drawn = useDeferredValue(items, items.slice(0, FIRST_LINES));
  return (
    <>
      {URGENCIES.map((one) => {
        const group = drawn.filter((item) => item.urgency === one);
        return group.length === 0 ? null : (
          <section key={one} className={styles["group"]} aria-label={t(`groups.${one}`)}>
            <div className={styles["groupHead"]}>
              <UrgencyBadge urgency={one} />
            </div>
            <ul className={styles["list"]}>
              {group.map((item) => (
                <QueueRow key={item.id} item={item} />
              ))}
            </ul>
          </section>
        );
      })}
    </>
  );
};

const Queue = ({ queue }: { readonly queue: QueueView }) => {
  const { t } = useTranslation(["queues", "common"]);
  const { get, set } = useSearchState();
  const [urgency, text] = [get("show"), get("q")];
  const shown = queue.items.filter((item) => fits(item, urgency, text));
  if (queue.items.length === 0)
    return (
      <EmptyState icon={<CircleCheckBig aria-hidden />} title={t("emptyTitle")}>
        {t("emptyText")}
      </EmptyState>
    );
  const countOf = (one: Urgency) => queue.items.filter((item) => item.urgency === one).length;
  return (
    <>
      <div className={styles["bar"]}>
        <ListFilter
          label={t("filter")}
          all={{ label: t("all"), count: queue.items.length }}
          groups={URGENCIES.map((one) => ({
            value: one,
            label: t(`groups.${one}`),
            count: countOf(one),
          }))}
          find={t("find")}
        />
        {/* A farrier's queue also opens without signal, where the views are not. */}
        {queue.role === "farrier" ? null : <SavedViews board="queue" />}
      </div>
      {shown.length === 0 ? (
        <EmptyState
          icon={<SearchX aria-hidden />}
          title={t("noMatch")}
          action={<Button onClick={() => set({ show: "", q: "" })}>{t("clear")}</Button>}
        />
      ) : null}
      <Lines key={`${urgency} ${text}`} items={shown} />
    </>
  );
};

const StaffQueue = () => {
  const { t } = useTranslation(["queues", "common"]);
  const { role } = useCurrent();
  const format = useFormat();
  const queue = useQueue(role);
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={
          queue.data === undefined
            ? undefined
            : t("lead", { role: t(`common:role.${role}`), time: format.time(queue.data.at) })
        }
      />
      <QueryView query={queue}>{(data) => <Queue queue={data} />}</QueryView>
    </>
  );
};

/** Where everybody lands: staff on the queue of their role, an owner on their horses. */
export const QueuePage = () => {
  const { role } = useCurrent();
  const router = useRouter();
  useEffect(() => {
    if (role === "owner") router.history.replace("/portal");
  }, [role, router]);
  return role === "owner" ? null : <StaffQueue />;
};
