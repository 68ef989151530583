import { CircleCheck } from "lucide-react";
import { useTranslation } from "react-i18next";
import { answerWords } from "./answer-words.ts";
import { Outcome } from "./outcome.tsx";
import type { Reminder, Reply } from "./queries.ts";
import { RingPractice } from "./ring-practice.tsx";
import { VisitFacts } from "./visit-facts.tsx";

/** The answer stands: what was said, what happens next, and what to do after a slip. */
export const Answered = ({
  reminder,
  answer,
  isPast = false,
}: {
  readonly reminder: Reminder;
  readonly answer: Reply["answer"];
  /** The visit was moved, done or given up since. */
  readonly isPast?: boolean;
}) => {
  const { t } = useTranslation("reminder");
  const { practice, horseName, bookedFor } = reminder;
  const hasDate = bookedFor !== null;
  const after = answer === "yes" ? (hasDate ? "yesDate" : "yesOpen") : answer;
  return (
    <>
      <Outcome icon={<CircleCheck aria-hidden />} title={t("thanks")} isGood>
        <p>
          {t("said")} <strong>{t(answerWords(answer, hasDate))}</strong>
        </p>
        <p>
          {isPast ? t("past") : t(`after.${after}`, { practice: practice.name, horse: horseName })}
        </p>
      </Outcome>
      {answer === "yes" && hasDate && !isPast ? <VisitFacts reminder={reminder} /> : null}
      <RingPractice
        practice={practice}
        lead={practice.phone === null ? t("changedNoPhone") : t("changed")}
      />
    </>
  );
};
