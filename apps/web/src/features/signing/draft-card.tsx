import type { FindingView } from "@heelward/contracts";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { CheckField, TextArea } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { Link } from "../../components/link.tsx";
import { CEILING, hindranceOf, isPastCeiling, type ReadBack, warningsOf } from "./read-back.ts";

/** The frame of one draft: its content in full, what the rules say now, and the confirmation below it all. */
export const DraftCard = ({
  title,
  href,
  findings,
  films = [],
  hindrance,
  words,
  read,
  onRead,
  children,
}: {
  readonly title: ReactNode;
  readonly href: string;
  readonly findings: readonly FindingView[];
  readonly films?: readonly string[];
  /** Something else that forbids it, in words. */
  readonly hindrance?: string | undefined;
  /** What is confirmed, in words. */
  readonly words: string;
  readonly read: ReadBack;
  readonly onRead: (next: ReadBack) => void;
  readonly children: ReactNode;
}) => {
  const { t } = useTranslation("signing");
  const missing = hindranceOf(findings, films, read);
  const isStopped = missing === "blocked" || hindrance !== undefined;
  const warnings = warningsOf(findings);
  const told = findings.filter((one) => one.outcome !== "warn" || one.rule === CEILING);
  return (
    <Card title={title} actions={<Link href={href}>{t("openDraft")}</Link>}>
      <div className="stack">
        {children}
        <div className="stack-tight">
          <h3>{t("cautions")}</h3>
          <Findings findings={told} hidePasses={warnings.length > 0} />
          {warnings.map((one) => (
            <div key={one.rule} className="stack-tight">
              <Findings
                findings={findings.filter(
                  (other) => other.outcome === "warn" && other.rule === one.rule,
                )}
              />
              {isStopped ? null : (
                <TextArea
                  label={t("reason")}
                  maxLength={1000}
                  rows={2}
                  required
                  value={read.reasons[one.rule] ?? ""}
                  onChange={(text) =>
                    onRead({
                      ...read,
                      isConfirmed: false,
                      reasons: { ...read.reasons, [one.rule]: text },
                    })
                  }
                />
              )}
            </div>
          ))}
          {isPastCeiling(findings) && !isStopped ? (
            <TextArea
              label={t("longer")}
              maxLength={1000}
              rows={2}
              required
              value={read.longer}
              onChange={(longer) => onRead({ ...read, isConfirmed: false, longer })}
            />
          ) : null}
        </div>
        {isStopped ? (
          <p>
            <strong>{hindrance ?? t("blocked")}</strong>
          </p>
        ) : (
          <div>
            <CheckField
              label={words}
              value={read.isConfirmed && missing === undefined}
              disabled={missing !== undefined}
              onChange={(isConfirmed) => onRead({ ...read, isConfirmed })}
            />
            {missing === undefined ? null : <p className="quiet small">{t(missing)}</p>}
          </div>
        )}
      </div>
    </Card>
  );
};
