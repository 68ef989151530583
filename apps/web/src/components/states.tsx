import type { UseQueryResult } from "@tanstack/react-query";
import { CircleAlert, RotateCw } from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { ProblemError } from "../api/problem-error.ts";
import { Button } from "./button.tsx";
import { Findings } from "./findings.tsx";
import styles from "./states.module.css";

/** Nothing is here: says why that is fine, or what to do. */
export const EmptyState = ({
  icon,
  title,
  children,
  action,
}: {
  readonly icon?: ReactNode;
  readonly title: string;
  readonly children?: ReactNode;
  readonly action?: ReactNode;
}) => (
  <div className={styles["box"]}>
    {icon}
    <p className={styles["title"]}>{title}</p>
    {children === undefined ? null : <p>{children}</p>}
    {action}
  </div>
);

/** A refusal or fault in words: what happened, why, and what to do next; with the rules that spoke. */
export const ErrorState = ({
  error,
  onRetry,
}: {
  readonly error: Error;
  readonly onRetry?: (() => void) | undefined;
}) => {
  const { t } = useTranslation();
  const body = error instanceof ProblemError ? error.body : undefined;
  const findings = error instanceof ProblemError ? error.findings : [];
  // What a rule says stands with its source below, once.
  const isSaidBelow = (text: string) => findings.some(({ detail }) => detail === text);
  const errors = body?.errors?.filter(({ detail }) => !isSaidBelow(detail)) ?? [];
  const detail = body?.detail ?? error.message;
  return (
    <div className="stack-tight" role="alert">
      <div className={styles["error"]}>
        <CircleAlert aria-hidden />
        <div>
          <strong>{body?.title ?? t("notReady")}</strong>
          {isSaidBelow(detail) ? null : <p>{detail}</p>}
          {errors.length === 0 ? null : (
            <ul>
              {errors.map((one) => (
                <li key={one.pointer + one.detail}>
                  {one.pointer.replaceAll("/", " ").trim()}: {one.detail}
                </li>
              ))}
            </ul>
          )}
          {body === undefined ? null : <p className="quiet">{body.next}</p>}
          {onRetry === undefined ? null : (
            <Button look="quiet" icon={<RotateCw aria-hidden />} onClick={onRetry}>
              {t("tryAgain")}
            </Button>
          )}
        </div>
      </div>
      {findings.length > 0 ? <Findings findings={findings} /> : null}
    </div>
  );
};

/** Grey lines where text will stand. */
export const Skeleton = ({ lines = 3 }: { readonly lines?: number }) => {
  const { t } = useTranslation();
  return (
    <output className="stack-tight">
      <span className="only-read">{t("loading")}</span>
      {Array.from({ length: lines }, (_, index) => (
        <span
          key={index}
          className={styles["bone"]}
          style={{ width: `${String(92 - ((index * 17) % 40))}%` }}
        />
      ))}
    </output>
  );
};

/** Shows a query in each of its states; what was read before stays on screen while it is read again. */
export const QueryView = <T,>({
  query,
  lines = 4,
  children,
}: {
  readonly query: UseQueryResult<T>;
  readonly lines?: number;
  readonly children: (data: T) => ReactNode;
}) => {
  if (query.data !== undefined)
    return (
      <>
        {query.isRefetchError ? <ErrorState error={query.error} /> : null}
        {children(query.data)}
      </>
    );
  if (query.error !== null)
    return <ErrorState error={query.error} onRetry={() => void query.refetch()} />;
  return <Skeleton lines={lines} />;
};
