import type { Reset } from "@heelward/contracts";
import { addDays } from "@heelward/domain/time";
import { useQueries, useQueryClient } from "@tanstack/react-query";
import { CalendarCheck, CircleAlert, CircleCheck, CircleX } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call, newKey } from "../../api/client.ts";
import { read } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { SelectField, TextArea, TextField } from "../../components/field.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { todayIn, useFormat } from "../../language/format.ts";
import { instantOf } from "../../language/wall-clock.ts";
import { usePeopleOf } from "../../parts/people.ts";
import styles from "./resets.module.css";
import { inTurn, type TogetherVisit } from "./together.ts";

/** What came of each visit: null when it was booked, else why not. */
type Outcomes = ReadonlyMap<string, string | null>;

const FIRST_HOUR = "09:00";

const Line = ({
  visit,
  block,
  warnings,
  outcome,
}: {
  readonly visit: TogetherVisit;
  readonly block: string | undefined;
  readonly warnings: readonly string[];
  readonly outcome: string | null | undefined;
}) => {
  const { t } = useTranslation("resets");
  const format = useFormat(visit.reset.yard.timeZone);
  return (
    <li className={styles["together"]}>
      <strong>{format.time(new Date(visit.startMs).toISOString())}</strong>
      <div className="stack-tight">
        <span>
          <strong>{visit.reset.horse.name}</strong>{" "}
          <span className="quiet">
            {visit.reset.yard.name} · {visit.minutes} min
          </span>{" "}
          {outcome === undefined ? null : outcome === null ? (
            <Badge tone="fine" icon={<CircleCheck aria-hidden />}>
              {t("togetherDone")}
            </Badge>
          ) : (
            <Badge tone="now" icon={<CircleX aria-hidden />}>
              {t("togetherNot")}
            </Badge>
          )}
        </span>
        {typeof outcome === "string" ? <span className="small">{outcome}</span> : null}
        {outcome === undefined && block !== undefined ? (
          <span className={styles["togetherBlock"]}>
            <CircleX aria-hidden />
            {block}
          </span>
        ) : null}
        {outcome === undefined && block === undefined
          ? warnings.map((warning) => (
              <span key={warning} className={styles["togetherWarn"]}>
                <CircleAlert aria-hidden />
                {warning}
              </span>
            ))
          : null}
      </div>
    </li>
  );
};

/** Books several resets on one day, one after the other; each stands or falls by itself. */
export const BookTogetherDialog = ({
  resets,
  onClose,
}: {
  readonly resets: readonly Reset[];
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["resets", "common"]);
  const { session } = useCurrent();
  const client = useQueryClient();
  const farriers = usePeopleOf("farrier");
  const zone = session.practice.timeZone;
  // What was chosen stays on the sheet while the board behind it changes.
  const [chosen] = useState(resets);
  const [draft, set] = useDraft(() => ({
    on: addDays(todayIn(zone), 1),
    at: FIRST_HOUR,
    farrierId: "",
    reason: "",
  }));
  const [isBusy, setBusy] = useState(false);
  const [outcomes, setOutcomes] = useState<Outcomes>(new Map());
  const isReady = draft.on !== "" && draft.at !== "";
  const visits = isReady
    ? inTurn(chosen, Date.parse(instantOf(`${draft.on}T${draft.at}`, zone)))
    : [];
  const isDone = outcomes.size > 0;
  const who = draft.farrierId === "" ? {} : { farrierId: draft.farrierId };
  const checks = useQueries({
    queries: visits.map(({ reset, startMs, minutes }) => ({
      ...read("checkBooking", {
        params: { resetId: reset.id },
        body: { bookedFor: new Date(startMs).toISOString(), minutes, ...who },
      }),
      enabled: !isDone,
      retry: false,
    })),
  });
  const findingsOf = (index: number) => checks[index]?.data?.findings ?? [];
  const blockOf = (index: number) =>
    findingsOf(index).find((finding) => finding.outcome === "block")?.detail;
  const allowed = visits.filter((_, index) => blockOf(index) === undefined);
  const blocked = visits.length - allowed.length;
  const book = async () => {
    setBusy(true);
    const reason = typedText(draft.reason);
    const found = new Map<string, string | null>();
    for (const { reset, startMs, minutes } of allowed) {
      try {
        // One after the other: each is judged beside those booked before it.
        // oxlint-disable-next-line no-await-in-loop
        await call(
          "bookReset",
          {
            params: { resetId: reset.id },
            ifMatch: reset.version,
            body: {
              bookedFor: new Date(startMs).toISOString(),
              minutes,
              ...who,
              ...(reason === undefined ? {} : { reason }),
            },
          },
          { key: newKey() },
        );
        found.set(reset.id, null);
      } catch (error) {
        found.set(reset.id, error instanceof Error ? error.message : String(error));
      }
    }
    setOutcomes(found);
    setBusy(false);
    await client.invalidateQueries();
  };
  return (
    <Dialog title={t("togetherTitle", { count: chosen.length })} isOpen onClose={onClose} isWide>
      <div className="stack">
        <p className="quiet">{t("togetherText")}</p>
        {isDone ? null : (
          <>
            <div className="columns">
              <TextField
                label={t("onDay")}
                type="date"
                min={todayIn(zone)}
                value={draft.on}
                onChange={set("on")}
              />
              <TextField label={t("firstAt")} type="time" value={draft.at} onChange={set("at")} />
              <SelectField
                label={t("farrier")}
                value={draft.farrierId}
                onChange={set("farrierId")}
                emptyLabel={t("eachFarrier")}
                options={farriers.map((one) => ({ value: one.id, label: one.name }))}
              />
            </div>
            <TextArea
              label={t("reason")}
              isOptional
              rows={2}
              hint={t("bookReasonHint")}
              value={draft.reason}
              onChange={set("reason")}
            />
          </>
        )}
        <ol className={styles["togetherList"]} aria-live="polite">
          {visits.map((visit, index) => (
            <Line
              key={visit.reset.id}
              visit={visit}
              block={blockOf(index)}
              warnings={findingsOf(index)
                .filter((finding) => finding.outcome === "warn")
                .map((finding) => finding.detail)}
              outcome={outcomes.get(visit.reset.id)}
            />
          ))}
        </ol>
        {blocked === 0 || isDone ? null : <p>{t("togetherBlocked", { count: blocked })}</p>}
        <div className="row">
          {isDone ? (
            <Button look="primary" onClick={onClose}>
              {t("common:close")}
            </Button>
          ) : (
            <>
              <Button
                look="primary"
                icon={<CalendarCheck aria-hidden />}
                isBusy={isBusy}
                disabled={allowed.length === 0 || checks.some((check) => check.isPending)}
                onClick={() => void book()}
              >
                {t("togetherBook", { count: allowed.length })}
              </Button>
              <Button look="quiet" onClick={onClose}>
                {t("common:cancel")}
              </Button>
            </>
          )}
        </div>
      </div>
    </Dialog>
  );
};
