import type { HandoffNote } from "@heelward/contracts";
import { BellRing, Check, CircleCheck, MailOpen, Reply, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../api/use-call.ts";
import { useCurrent } from "../app/current-session.tsx";
import { Badge } from "../components/badges.tsx";
import { Button } from "../components/button.tsx";
import { classNames } from "../components/class-names.ts";
import { TextArea } from "../components/field.tsx";
import { Link } from "../components/link.tsx";
import { ErrorState } from "../components/states.tsx";
import { typedText } from "../components/use-draft.ts";
import { useFormat } from "../language/format.ts";
import styles from "./note-card.module.css";

const STATES = {
  open: ["soon", MailOpen],
  escalated: ["now", BellRing],
  acknowledged: ["fine", CircleCheck],
} as const;

const useIsForMe = (note: HandoffNote): boolean => {
  const { session } = useCurrent();
  const { person } = session;
  return note.toPerson === null
    ? person.roles.includes(note.toRole)
    : note.toPerson.id === person.id;
};

/** Acknowledging: one tap, or with an answer. */
const Acknowledge = ({ note }: { readonly note: HandoffNote }) => {
  const { t } = useTranslation("handoffs");
  const acknowledge = useWrite("acknowledgeNote");
  const [answer, setAnswer] = useState("");
  const [isAnswering, setAnswering] = useState(false);
  const words = typedText(answer);
  const send = () =>
    acknowledge.mutate({
      params: { noteId: note.id },
      ifMatch: note.version,
      body: words === undefined ? {} : { answer: words },
    });
  return (
    <div className="stack-tight no-print">
      {isAnswering ? (
        <TextArea label={t("answer")} name="answer" value={answer} onChange={setAnswer} />
      ) : null}
      {acknowledge.error === null ? null : <ErrorState error={acknowledge.error} />}
      <div className="row">
        <Button
          look="primary"
          icon={<Check aria-hidden />}
          isBusy={acknowledge.isPending}
          onClick={send}
        >
          {isAnswering ? t("withAnswer") : t("acknowledge")}
        </Button>
        {isAnswering ? null : (
          <Button look="quiet" icon={<Reply aria-hidden />} onClick={() => setAnswering(true)}>
            {t("answer")}
          </Button>
        )}
      </div>
    </div>
  );
};

/** One handoff note: who to whom, what must be done by when, and how far it has got. */
export const NoteCard = ({
  note,
  showHorse = true,
}: {
  readonly note: HandoffNote;
  readonly showHorse?: boolean;
}) => {
  const { t } = useTranslation(["handoffs", "common"]);
  const format = useFormat();
  const isForMe = useIsForMe(note);
  const [tone, Icon] = STATES[note.state];
  const to = [t(`common:role.${note.toRole}`), note.toPerson?.name].filter(Boolean).join(", ");
  return (
    <article className={classNames(styles["note"], styles[note.state])}>
      <div className="spread">
        <div className="row">
          {showHorse ? (
            <h2 className={styles["horse"]}>
              <Link
                href={note.caseId === null ? `/horses/${note.horse.id}` : `/cases/${note.caseId}`}
              >
                {note.horse.name}
              </Link>
            </h2>
          ) : null}
          <Badge tone={tone} icon={<Icon aria-hidden />}>
            {t(`states.${note.state}`)}
          </Badge>
          {note.urgent ? (
            <Badge tone="now" icon={<TriangleAlert aria-hidden />}>
              {t("urgent")}
            </Badge>
          ) : null}
        </div>
        <span className="quiet small">
          {t("from", {
            name: note.fromPerson.name,
            role: t(`common:role.${note.fromRole}`),
            to,
          })}{" "}
          · <time dateTime={note.writtenAt}>{format.shortDateTime(note.writtenAt)}</time>
        </span>
      </div>
      <p className={styles["text"]}>{note.situation}</p>
      <p className={styles["must"]}>
        <strong>{t("mustDo")}:</strong> <span className={styles["text"]}>{note.mustDo}</span>
        {note.byWhen === null ? null : (
          <>
            {" "}
            <strong>
              {t("byWhen")}: {note.byWhen}
            </strong>
          </>
        )}
      </p>
      <div className={styles["facts"]}>
        {(["found", "done", "callMeIf", "answer"] as const).map((key) =>
          note[key] === null ? null : (
            <p key={key} className={styles["text"]}>
              <b>{t(key)}:</b> {note[key]}
            </p>
          ),
        )}
      </div>
      {note.acknowledgedBy !== null && note.acknowledgedAt !== null ? (
        <p className="quiet small">
          {t("acknowledgedBy", {
            name: note.acknowledgedBy.name,
            when: format.shortDateTime(note.acknowledgedAt),
          })}
        </p>
      ) : (
        <p className="quiet small">
          {t("acknowledgeBy", { when: format.shortDateTime(note.acknowledgeBy) })}
        </p>
      )}
      {isForMe && note.state !== "acknowledged" ? <Acknowledge note={note} /> : null}
    </article>
  );
};
