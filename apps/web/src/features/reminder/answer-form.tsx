import { CalendarX2, Check, CircleAlert, PhoneIncoming } from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { ProblemError } from "../../api/problem-error.ts";
import { Button } from "../../components/button.tsx";
import { TextArea } from "../../components/field.tsx";
import { answerWords } from "./answer-words.ts";
import type { Reply } from "./queries.ts";
import styles from "./reminder.module.css";

const LONGEST_MESSAGE = 500;

const ANSWERS: readonly (readonly [Reply["answer"], ReactNode])[] = [
  ["yes", <Check key="yes" aria-hidden />],
  ["no", <CalendarX2 key="no" aria-hidden />],
  ["call me", <PhoneIncoming key="call me" aria-hidden />],
];

/** The question with its answers, each a button that sends at once: a choice left unsent helps nobody. */
export const AnswerForm = ({
  hasDate,
  message,
  onMessage,
  sending,
  error,
  onAnswer,
}: {
  readonly hasDate: boolean;
  readonly message: string;
  readonly onMessage: (message: string) => void;
  /** The answer under way. */
  readonly sending: Reply["answer"] | null;
  readonly error: Error | null;
  readonly onAnswer: (answer: Reply["answer"]) => void;
}) => {
  const { t } = useTranslation("reminder");
  const refusedWords = error instanceof ProblemError ? error.fieldDetail("message") : undefined;
  return (
    <section className={styles["question"]} aria-labelledby="reminder-question">
      <h2 id="reminder-question">{hasDate ? t("askDate") : t("askOpen")}</h2>
      <details className={styles["words"]}>
        <summary>{t("addWords")}</summary>
        <TextArea
          label={t("words")}
          isOptional
          hint={t("wordsHint")}
          error={refusedWords}
          rows={3}
          maxLength={LONGEST_MESSAGE}
          value={message}
          onChange={onMessage}
        />
      </details>
      {error === null || refusedWords !== undefined ? null : (
        <div className={styles["fault"]} role="alert">
          <CircleAlert aria-hidden />
          <div>
            <strong>{t("notSent")}</strong>
            <p>{t("notSentText")}</p>
          </div>
        </div>
      )}
      <div className={styles["answers"]}>
        {ANSWERS.map(([answer, icon]) => (
          <Button
            key={answer}
            size="large"
            isWide
            look={answer === "yes" ? "primary" : "plain"}
            icon={icon}
            disabled={sending !== null}
            isBusy={sending === answer}
            onClick={() => onAnswer(answer)}
          >
            {t(answerWords(answer, hasDate))}
          </Button>
        ))}
      </div>
      <output className="quiet small">{sending === null ? t("sendHint") : t("sending")}</output>
    </section>
  );
};
