import { PhoneCall } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useParam } from "../../app/use-address.ts";
import { PageHeader } from "../../components/page-header.tsx";
import { Skeleton } from "../../components/states.tsx";
import { AnswerForm } from "./answer-form.tsx";
import { Answered } from "./answered.tsx";
import { ClosedLink } from "./closed-link.tsx";
import { NotOpened } from "./not-opened.tsx";
import { isClosed, type Reminder, type Reply, useReminder, useReply } from "./queries.ts";
import styles from "./reminder.module.css";
import { RingPractice } from "./ring-practice.tsx";
import { VisitFacts } from "./visit-facts.tsx";

const Question = ({ token, reminder }: { readonly token: string; readonly reminder: Reminder }) => {
  const { t } = useTranslation("reminder");
  const [message, setMessage] = useState("");
  const reply = useReply(token);
  const { practice, horseName } = reminder;
  const send = (answer: Reply["answer"]) => {
    const words = message.trim();
    reply.mutate({ answer, ...(words === "" ? {} : { message: words }) });
  };
  if (reminder.answered !== null)
    return (
      <Answered
        reminder={reminder}
        answer={reminder.answered.answer}
        isPast={!reminder.answered.holds}
      />
    );
  if (reply.isSuccess) return <Answered reminder={reminder} answer={reply.variables.answer} />;
  if (isClosed(reply.error)) return <ClosedLink practice={practice} />;
  return (
    <>
      <PageHeader
        title={t("title", { horse: horseName })}
        lead={t("from", { practice: practice.name })}
      />
      <VisitFacts reminder={reminder} />
      <AnswerForm
        hasDate={reminder.bookedFor !== null}
        message={message}
        onMessage={setMessage}
        sending={reply.isPending ? reply.variables.answer : null}
        error={reply.error}
        onAnswer={send}
      />
      {practice.phone === null ? null : (
        <RingPractice practice={practice} lead={t("ringInstead")} />
      )}
    </>
  );
};

/** The link of a reminder letter: no sign-in. Opening it sends nothing; a tap on an answer does. */
export const ReminderPage = () => {
  const { t } = useTranslation("reminder");
  const token = useParam("token");
  const reminder = useReminder(token);
  const content = () => {
    if (reminder.data !== undefined) return <Question token={token} reminder={reminder.data} />;
    if (isClosed(reminder.error)) return <ClosedLink practice={null} />;
    if (reminder.error !== null) return <NotOpened onRetry={() => void reminder.refetch()} />;
    return <Skeleton lines={6} />;
  };
  return (
    <main className={styles["page"]}>
      {content()}
      <p className={styles["urgent"]}>
        <PhoneCall aria-hidden />
        {t("urgent")}
      </p>
    </main>
  );
};
