import { CircleCheckBig, CloudUpload, LogOut } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useGo, useSearchState } from "../../app/use-address.ts";
import { useSignOut } from "../../app/use-sign-out.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { conflicts, type Entry, unsettled } from "../../offline/outbox.ts";
import { syncNow } from "../../offline/run-sync.ts";
import { useOffline } from "../../offline/state.ts";
import { ConflictCard } from "./conflict-card.tsx";
import styles from "./day.module.css";

const EntryLine = ({ entry, isHeldUp }: { readonly entry: Entry; readonly isHeldUp: boolean }) => {
  const { t } = useTranslation("offline");
  const format = useFormat();
  const written = new Date(entry.frozen?.happenedAtMs ?? entry.deviceAtMs).toISOString();
  const received = entry.answer?.receivedAt;
  return (
    <li className={styles["entry"]}>
      <span className={styles["no"]}>{t("outbox.order", { order: entry.order })}</span>
      <span>
        <strong>
          {t(`outbox.what.${entry.request.operation as "recordShoeing"}`)}
          {entry.label === "" ? "" : ` · ${entry.label}`}
        </strong>
        <br />
        <span className="quiet small">
          {t("outbox.written")} {format.shortDateTime(written)}
          {received === undefined
            ? null
            : ` · ${t("outbox.received")} ${format.shortDateTime(received)}`}
        </span>
        {isHeldUp ? <span className="small"> {t("outbox.heldUp")}</span> : null}
      </span>
      {entry.state === "waiting" ? (
        <Badge tone="today" icon={<CloudUpload aria-hidden />}>
          {t("outbox.waiting")}
        </Badge>
      ) : (
        <Badge tone="fine" icon={<CircleCheckBig aria-hidden />}>
          {t(entry.state === "put aside" ? "outbox.putAside" : "outbox.arrived")}
        </Badge>
      )}
    </li>
  );
};

const Leaving = ({ count }: { readonly count: number }) => {
  const { t } = useTranslation("offline");
  const signOut = useSignOut({ losesUnsent: true });
  const go = useGo();
  return (
    <Card title={t("outbox.leaveTitle")}>
      <div className="stack">
        <p>{t("outbox.leaveText", { count })}</p>
        <div className="row">
          <Button look="primary" size="large" onClick={() => go("/outbox")}>
            {t("outbox.stay")}
          </Button>
          <Button
            look="danger"
            size="large"
            icon={<LogOut aria-hidden />}
            onClick={() => void signOut()}
          >
            {t("outbox.leave")}
          </Button>
        </div>
      </div>
    </Card>
  );
};

/** What is only on this phone, what needs a decision, and what has arrived lately. */
export const OutboxPage = () => {
  const { t } = useTranslation("offline");
  const { outbox, hasSignal, isSending } = useOffline();
  const isLeaving = useSearchState().get("leaving") !== "";
  const [isBusy, setBusy] = useState(false);
  const open = unsettled(outbox);
  const waiting = open.filter((entry) => entry.state === "waiting");
  const toDecide = conflicts(outbox);
  const settled = outbox.entries
    .filter((entry) => entry.state === "arrived" || entry.state === "put aside")
    .toReversed();
  const send = () => {
    setBusy(true);
    void syncNow().finally(() => setBusy(false));
  };
  return (
    <>
      <PageHeader
        title={t("outbox.title")}
        lead={t("outbox.lead")}
        back={{ href: "/day", label: t("dayTitle") }}
        actions={
          waiting.length === 0 ? undefined : (
            <Button
              look="primary"
              size="large"
              icon={<CloudUpload aria-hidden />}
              isBusy={isBusy || isSending}
              disabled={!hasSignal}
              onClick={send}
            >
              {t("outbox.send")}
            </Button>
          )
        }
      />
      <div className="stack">
        {isLeaving && open.length > 0 ? <Leaving count={open.length} /> : null}
        {toDecide.map((entry) => (
          <ConflictCard key={entry.key} entry={entry} />
        ))}
        {open.length === 0 ? (
          <EmptyState icon={<CircleCheckBig aria-hidden />} title={t("outbox.empty")}>
            {t("outbox.emptyText")}
          </EmptyState>
        ) : null}
        {waiting.length === 0 ? null : (
          <ul className={styles["entries"]}>
            {waiting.map((entry) => (
              <EntryLine
                key={entry.key}
                entry={entry}
                isHeldUp={toDecide.some(
                  (other) => other.lane === entry.lane && other.order < entry.order,
                )}
              />
            ))}
          </ul>
        )}
        {settled.length === 0 ? null : (
          <Card title={t("outbox.arrivedList")}>
            <ul className={styles["entries"]}>
              {settled.slice(0, 30).map((entry) => (
                <EntryLine key={entry.key} entry={entry} isHeldUp={false} />
              ))}
            </ul>
          </Card>
        )}
      </div>
    </>
  );
};
