import type { FindingView } from "@heelward/contracts";
import { CircleCheck, Info, OctagonX, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { classNames } from "./class-names.ts";
import styles from "./findings.module.css";

const ICONS = { pass: CircleCheck, note: Info, warn: TriangleAlert, block: OctagonX };
const RANK = { block: 0, warn: 1, note: 2, pass: 3 };

type Source = FindingView["source"];

/** Where a figure comes from, one tap away. */
export const SourceNote = ({ source }: { readonly source: Source }) => {
  const { t } = useTranslation();
  const status = t(`evidence.${source.status as "published"}`, { defaultValue: source.status });
  return (
    <details className={styles["source"]}>
      <summary>
        {t("source")}: {status}
      </summary>
      {source.citation}
      {source.url === undefined ? null : (
        <>
          {" "}
          <a href={source.url} rel="noreferrer" target="_blank">
            {source.url}
          </a>
        </>
      )}
    </details>
  );
};

/** What the rules said, gravest first: an icon, a word, one sentence, and its source. */
export const Findings = ({
  findings,
  hidePasses = false,
}: {
  readonly findings: readonly FindingView[];
  readonly hidePasses?: boolean;
}) => {
  const { t } = useTranslation();
  const shown = findings
    .filter((finding) => !hidePasses || finding.outcome !== "pass")
    .toSorted((a, b) => RANK[a.outcome] - RANK[b.outcome]);
  if (shown.length === 0) return hidePasses ? null : <p className="quiet">{t("noFindings")}</p>;
  return (
    <ul className={styles["list"]}>
      {shown.map((finding) => {
        const Icon = ICONS[finding.outcome];
        return (
          <li
            key={finding.rule + finding.detail}
            className={classNames(styles["finding"], styles[finding.outcome])}
          >
            <Icon aria-hidden />
            <div className={styles["text"]}>
              <span className={classNames(styles["word"], styles[finding.outcome])}>
                {t(`outcome.${finding.outcome}`)}.
              </span>{" "}
              {finding.detail}
              <SourceNote source={finding.source} />
            </div>
          </li>
        );
      })}
    </ul>
  );
};
