import {
  CloudOff,
  CloudUpload,
  Clock4,
  HardDrive,
  LogIn,
  TriangleAlert,
  UserX,
} from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { classNames } from "../components/class-names.ts";
import { Link } from "../components/link.tsx";
import { useFormat } from "../language/format.ts";
import { isClockWrong } from "../offline/clock.ts";
import { conflicts, unsettled } from "../offline/outbox.ts";
import { useOffline } from "../offline/state.ts";
import styles from "./shell.module.css";

const Line = ({
  icon,
  isUrgent = false,
  children,
}: {
  readonly icon: ReactNode;
  readonly isUrgent?: boolean;
  readonly children: ReactNode;
}) => (
  <output className={classNames(styles["offline"], isUrgent && styles["offlineUrgent"])}>
    {icon}
    <span>{children}</span>
  </output>
);

/** What a person without signal must know, in one line each: nothing is silent and nothing blinks. */
export const OfflineBar = () => {
  const { t } = useTranslation("offline");
  const format = useFormat();
  const state = useOffline();
  const waiting = unsettled(state.outbox).length - conflicts(state.outbox).length;
  const needsDecision = conflicts(state.outbox).length;
  const { clock, day } = state;
  return (
    <div className="no-print">
      {state.hasSignal ? null : (
        <Line icon={<CloudOff aria-hidden />}>
          {day === undefined
            ? t("bar.noSignalNoDay")
            : t("bar.noSignal", {
                when: format.shortDateTime(new Date(day.storedAtMs).toISOString()),
              })}{" "}
          {waiting === 0 ? null : (
            <Link href="/outbox">{t("bar.waiting", { count: waiting })}</Link>
          )}
        </Line>
      )}
      {state.hasSignal && waiting > 0 ? (
        <Line icon={<CloudUpload aria-hidden />}>
          <Link href="/outbox">
            {t(state.isSending ? "bar.sending" : "bar.waiting", { count: waiting })}
          </Link>
        </Line>
      ) : null}
      {needsDecision === 0 ? null : (
        <Line icon={<TriangleAlert aria-hidden />} isUrgent>
          <Link href="/outbox">{t("bar.conflict", { count: needsDecision })}</Link>
        </Line>
      )}
      {state.mustSignIn ? (
        <Line icon={<LogIn aria-hidden />} isUrgent>
          {t("bar.signIn")} <Link href="/sign-in?next=/outbox">{t("bar.signInAction")}</Link>
        </Line>
      ) : null}
      {clock !== undefined && isClockWrong(clock) ? (
        <Line icon={<Clock4 aria-hidden />}>
          {t("bar.clock", {
            minutes: Math.round(Math.abs(clock.offsetMs) / 60_000),
            way: t(clock.offsetMs < 0 ? "bar.clockWay.fast" : "bar.clockWay.slow"),
          })}
        </Line>
      ) : null}
      {state.isFull ? (
        <Line icon={<HardDrive aria-hidden />} isUrgent>
          {t("bar.full")}
        </Line>
      ) : null}
      {state.isOthers ? <Line icon={<UserX aria-hidden />}>{t("bar.others")}</Line> : null}
    </div>
  );
};
