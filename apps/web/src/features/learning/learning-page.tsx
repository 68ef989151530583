import type { CaseFile, LearningNote } from "@heelward/contracts";
import { NotebookPen, Printer } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { PrintStamp } from "../../parts/print-stamp.tsx";
import styles from "./learning.module.css";
import { useCaseFile, useLearningNote } from "./queries.ts";
import { WriteNoteForm } from "./write-note-form.tsx";

/** What the record says, beside what people remember. */
const FromTheRecord = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation(["learning", "cases", "common"]);
  const format = useFormat();
  const plans = file.prescriptions.filter((one) => one.signedAt !== null);
  const highest = Math.max(0, ...plans.flatMap((one) => one.feet.map((foot) => foot.wedgeDegrees)));
  const { openedAt, closedAt, closeReason, cause } = file.case;
  return (
    <Card title={t("record")}>
      <Facts
        items={[
          [t("cause"), cause ?? t("common:unknown")],
          [
            t("ran"),
            closedAt === null
              ? t("since", { day: format.day(openedAt) })
              : [format.day(openedAt), format.day(closedAt)].join(" – "),
          ],
          [
            t("end"),
            closeReason === null ? t("notClosed") : t(`cases:closeReasons.${closeReason}`),
          ],
          [
            t("plans"),
            plans.length === 0 ? (
              t("noPlans")
            ) : (
              <ul key="plans" className={styles["aims"]}>
                {plans.map((one) => (
                  <li key={one.id}>{one.aim}</li>
                ))}
              </ul>
            ),
          ],
          [
            t("wedges"),
            highest === 0 ? t("wedgeNone") : t("wedgeUsed", { degrees: format.number(highest) }),
          ],
        ]}
      />
    </Card>
  );
};

const Written = ({ note }: { readonly note: LearningNote }) => {
  const { t } = useTranslation("learning");
  const format = useFormat();
  const parts = [
    [t("expected"), note.expected],
    [t("happened"), note.happened],
    [
      t("wedge"),
      [t(`wedgeOptions.${note.wedge}`), note.wedgeWords].filter((one) => one !== null).join(". "),
    ],
    [t("lesson"), note.lesson],
  ] as const;
  return (
    <Card>
      <div className={styles["note"]}>
        {parts.map(([title, text]) => (
          <section key={title}>
            <h2>{title}</h2>
            <p>{text}</p>
          </section>
        ))}
        <p className="quiet small">
          {t("writtenBy", {
            name: note.writtenBy.name,
            when: format.shortDateTime(note.writtenAt),
          })}
        </p>
      </div>
    </Card>
  );
};

/** The learning note of a closed case: written once by the vet, then read and printed. */
export const LearningPage = () => {
  const { t } = useTranslation(["learning", "common"]);
  const caseId = useParam("caseId");
  const isVet = useIsRole("vet");
  const file = useCaseFile(caseId);
  const note = useLearningNote(caseId);
  return (
    <QueryView query={file} lines={8}>
      {(data) => (
        <>
          <PageHeader
            title={t("of", { horse: data.case.horse.name })}
            back={{ href: `/cases/${caseId}`, label: data.case.horse.name }}
            lead={<span className="no-print">{t("lead")}</span>}
            actions={
              note.data ? (
                <Button icon={<Printer aria-hidden />} onClick={() => window.print()}>
                  {t("common:print")}
                </Button>
              ) : undefined
            }
          />
          <div className={styles["page"]}>
            <QueryView query={note}>
              {(written) =>
                written !== null ? (
                  <Written note={written} />
                ) : isVet && data.case.phase === "closed" ? (
                  <WriteNoteForm caseId={caseId} />
                ) : (
                  <EmptyState icon={<NotebookPen aria-hidden />} title={t("notYet")}>
                    {t("notYetText")}
                  </EmptyState>
                )
              }
            </QueryView>
            <FromTheRecord file={data} />
          </div>
          <p className="quiet small">{t("caution")}</p>
          <PrintStamp version={t("common:caseNumber", { number: data.case.number })} />
        </>
      )}
    </QueryView>
  );
};
