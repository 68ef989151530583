import { PhoneCall, TriangleAlert } from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { Card } from "../../components/card.tsx";
import { classNames } from "../../components/class-names.ts";
import { SourceNote } from "../../components/findings.tsx";
import styles from "./sheet.module.css";
import { telHref } from "../../parts/tel-href.ts";

type Step = Answer<"readSharedFirstAid">["steps"][number];

/** The number to ring, above everything else. */
export const RingFirst = ({ phone }: { readonly phone: string | null }) => {
  const { t } = useTranslation("firstAid");
  return (
    <div className={styles["ring"]}>
      <span>{t("ring")}</span>
      {phone === null ? (
        <span>{t("noPhone")}</span>
      ) : (
        <a href={telHref(phone)}>
          <PhoneCall aria-hidden />
          {phone}
        </a>
      )}
    </div>
  );
};

/** The steps in order, each with its reason and source; `beside` adds the ticks of a signed-in person. */
export const Steps = ({
  steps,
  isDone,
  beside,
  below,
}: {
  readonly steps: readonly Step[];
  readonly isDone?: (step: Step) => boolean;
  readonly beside?: (step: Step) => ReactNode;
  readonly below?: (step: Step) => ReactNode;
}) => {
  const { t } = useTranslation("firstAid");
  return (
    <ol className={styles["steps"]} aria-label={t("steps")}>
      {steps.map((step) => (
        <li
          key={step.id}
          className={classNames(styles["step"], isDone?.(step) === true && styles["isDone"])}
        >
          <div>
            <div className={styles["text"]}>{step.text}</div>
            <details className={styles["why"]}>
              <summary>{t("why")}</summary>
              {step.why}
              <SourceNote source={step.source} />
            </details>
            {below?.(step)}
          </div>
          {beside?.(step)}
        </li>
      ))}
    </ol>
  );
};

type Sheet = Pick<
  Answer<"readSharedFirstAid">,
  "ringAtOnceIf" | "writeDown" | "disagreements" | "caution"
>;

/** When to ring, what to write down, where advice differs, and what this sheet is not. */
export const SheetNotes = ({ sheet }: { readonly sheet: Sheet }) => {
  const { t } = useTranslation("firstAid");
  return (
    <>
      <div className={styles["notes"]}>
        <Card title={t("ringIf")}>
          <ul className={styles["cautions"]}>
            {sheet.ringAtOnceIf.map((one) => (
              <li key={one}>
                <TriangleAlert aria-hidden size="1em" /> {one}
              </li>
            ))}
          </ul>
        </Card>
        <Card title={t("writeDown")}>
          <ul>
            {sheet.writeDown.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </Card>
      </div>
      {sheet.disagreements.length === 0 ? null : (
        <div className="no-print">
          <Card title={t("disagreements")}>
            <div className="stack">
              {sheet.disagreements.map((one) => (
                <div key={one.id}>
                  {one.sides.map((side) => (
                    <div key={side.says}>
                      {side.says}
                      <SourceNote source={side.source} />
                    </div>
                  ))}
                  <strong>{t("sheetFollows", { what: one.sheetFollows })}</strong>
                </div>
              ))}
            </div>
          </Card>
        </div>
      )}
      <p className="quiet small">{sheet.caution}</p>
    </>
  );
};
