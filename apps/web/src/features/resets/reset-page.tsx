import type { Reset } from "@heelward/contracts";
import { CalendarSync, CalendarX, FolderOpen, PhoneCall } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useParam } from "../../app/use-address.ts";
import { PhasePill } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { Findings } from "../../components/findings.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { Timeline } from "../../components/timeline.tsx";
import { useFormat } from "../../language/format.ts";
import { BreakoverGauge } from "./breakover-gauge.tsx";
import { useReset } from "./queries.ts";
import { ResetActions } from "./reset-actions.tsx";
import { ResetState } from "./reset-state.tsx";
import { WindowBar } from "./window-bar.tsx";
import { WindowLegend } from "./window-legend.tsx";

const WindowCard = ({ reset }: { readonly reset: Reset }) => {
  const { t } = useTranslation("resets");
  const format = useFormat(reset.yard.timeZone);
  return (
    <Card title={t("window")}>
      <div className="stack">
        <WindowBar reset={reset} isLarge />
        <WindowLegend />
        <Facts
          items={[
            [t("last"), format.date(reset.lastDoneOn)],
            [t("interval"), t("intervalDays", { days: reset.intervalDays })],
            [t("opens"), format.date(reset.opensOn)],
            [t("bookBy"), format.date(reset.bookBy)],
            [t("due"), format.date(reset.dueOn)],
            [t("ceiling"), format.date(reset.ceilingOn)],
            [t("safe"), reset.latestSafeOn === null ? "–" : format.date(reset.latestSafeOn)],
            [
              t("breakover"),
              <BreakoverGauge
                key="b"
                nowMm={reset.breakoverNowMm}
                limitMm={reset.breakoverLimitMm}
              />,
            ],
          ]}
        />
        {reset.lengthenReason === null ? null : (
          <p>{t("lengthened", { reason: reset.lengthenReason })}</p>
        )}
      </div>
    </Card>
  );
};

const iconOf = (kind: Reset["attempts"][number]["kind"]) =>
  kind === "contact" ? (
    <PhoneCall aria-hidden />
  ) : kind === "rebooked" ? (
    <CalendarSync aria-hidden />
  ) : (
    <CalendarX aria-hidden />
  );

const Shown = ({ reset }: { readonly reset: Reset }) => {
  const { t } = useTranslation("resets");
  const format = useFormat(reset.yard.timeZone);
  const { person, action } = reset.whoseMove;
  return (
    <>
      <PageHeader
        title={reset.horse.name}
        back={{ href: "/resets", label: t("title") }}
        beside={reset.phase === null ? undefined : <PhasePill phase={reset.phase} />}
        lead={
          <>
            <Link href={`/yards/${reset.yard.id}`}>{reset.yard.name}</Link> ·{" "}
            {reset.farrier?.name ?? t("noFarrier")}
          </>
        }
        actions={
          reset.caseId === null ? undefined : (
            <ButtonLink href={`/cases/${reset.caseId}`} icon={<FolderOpen aria-hidden />}>
              {t("caseFile")}
            </ButtonLink>
          )
        }
      />
      <div className="stack">
        <Card>
          <div className="stack">
            <div className="columns">
              <div className="stack-tight">
                <ResetState reset={reset} />
                <p>{reset.pausedReason ?? reset.reasons.join("; ")}</p>
              </div>
              <Facts
                items={[
                  [
                    t("move"),
                    `${person}: ${t(`moves.${action as "book"}`, { defaultValue: action })}`,
                  ],
                  [
                    t("booked"),
                    reset.bookedFor === null
                      ? t("notBooked")
                      : [format.shortDateTime(reset.bookedFor), reset.job]
                          .filter((one) => one !== null)
                          .join(" · "),
                  ],
                ]}
              />
            </div>
            <ResetActions reset={reset} />
          </div>
        </Card>
        <WindowCard reset={reset} />
        <div className="columns">
          <Card title={t("tried")}>
            {reset.attempts.length === 0 ? (
              <p className="quiet">{t("nothingTried")}</p>
            ) : (
              <Timeline
                items={reset.attempts.map((attempt) => ({
                  id: attempt.id,
                  at: attempt.at,
                  title: t(`kinds.${attempt.kind}`),
                  detail: attempt.detail,
                  who: attempt.madeBy.name,
                  icon: iconOf(attempt.kind),
                }))}
              />
            )}
          </Card>
          <Card title={t("findings")}>
            <Findings findings={reset.findings} />
          </Card>
        </div>
      </div>
    </>
  );
};

/** One reset: its window, what was tried, what the rules say, and what can be done. */
export const ResetPage = () => {
  const reset = useReset(useParam("resetId"));
  return (
    <QueryView query={reset} lines={8}>
      {(data) => <Shown reset={data} />}
    </QueryView>
  );
};
