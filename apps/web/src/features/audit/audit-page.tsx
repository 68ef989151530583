import { FileDown, SearchX } from "lucide-react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import type { Answer } from "../../api/operations.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { type Column, Rows } from "../../components/data-list.tsx";
import { SelectField } from "../../components/field.tsx";
import { Link } from "../../components/link.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState } from "../../components/states.tsx";
import type { Catalogue } from "../../language/catalogue.ts";
import { useFormat } from "../../language/format.ts";
import { HorsePicker } from "../../parts/horse-picker.tsx";
import { useAudit } from "./queries.ts";
import styles from "./audit.module.css";
import { VerificationCard } from "./verification-card.tsx";

type Entry = Answer<"listAudit">["items"][number];
type Subject = keyof Catalogue["audit"]["subjects"];

const SUBJECTS: readonly Subject[] = [
  "case",
  "course",
  "document",
  "dose",
  "examination",
  "first-aid sheet",
  "handoff",
  "horse",
  "invitation",
  "laboratory result",
  "medication course",
  "person",
  "phone call",
  "prescription",
  "procedure",
  "radiograph",
  "refused request",
  "reset",
  "session",
  "setting",
  "shoeing record",
  "weighing",
  "yard",
];

/** Subjects that have a page. */
const PAGES: Readonly<Record<string, string>> = {
  case: "/cases/",
  course: "/courses/",
  "medication course": "/courses/",
  horse: "/horses/",
  yard: "/yards/",
  reset: "/resets/",
  prescription: "/prescriptions/",
  radiograph: "/films/",
  "first-aid sheet": "/first-aid-sheets/",
};

const SHOWN_SEAL = 12;

/** `reset.booked` as words. */
const wordsOf = (event: string): string => event.replaceAll(/[.-]/g, " ");

const EntryDetails = ({ entry }: { readonly entry: Entry }) => {
  const { t } = useTranslation("audit");
  return (
    <details className={styles["details"]}>
      <summary>
        <code>{entry.hash.slice(0, SHOWN_SEAL)}</code>
      </summary>
      <p className="small">{t("sealOf", { hash: entry.hash, previous: entry.previousHash })}</p>
      <pre>{JSON.stringify(entry.entry, null, 2)}</pre>
    </details>
  );
};

const SubjectCell = ({ entry }: { readonly entry: Entry }) => {
  const base = PAGES[entry.subjectType];
  return (
    <>
      {base === undefined || entry.subjectId === null ? (
        entry.subjectType
      ) : (
        <Link href={`${base}${entry.subjectId}`}>{entry.subjectType}</Link>
      )}
    </>
  );
};

/** Who did what and when, newest first, and whether the chain of entries is whole. */
export const AuditPage = () => {
  const { t } = useTranslation("audit");
  const format = useFormat();
  const { get, set } = useSearchState();
  const [horseId, subject, subjectId] = [get("horse"), get("about"), get("id")];
  const isManager = useIsRole("manager");
  const ofHorse = horseId === "" ? {} : { horseId };
  const entries = useAudit({
    limit: 50,
    ...(horseId === "" ? {} : { horseId }),
    ...(subject === "" ? {} : { subjectType: subject }),
    ...(subjectId === "" ? {} : { subjectId }),
  });
  const columns: readonly Column<Entry>[] = [
    {
      key: "when",
      label: t("when"),
      hideLabelOnPhone: true,
      cell: (entry) => (
        <>
          {format.dateTime(entry.at)}
          <div className="quiet small">
            {t("number")} {format.number(entry.sequence, 0)}
          </div>
        </>
      ),
    },
    {
      key: "event",
      label: t("event"),
      hideLabelOnPhone: true,
      cell: (entry) => <strong className={styles["event"]}>{wordsOf(entry.event)}</strong>,
    },
    {
      key: "who",
      label: t("who"),
      cell: (entry) => entry.actor?.name ?? <span className="quiet">{t("service")}</span>,
    },
    { key: "subject", label: t("subject"), cell: (entry) => <SubjectCell entry={entry} /> },
    { key: "seal", label: t("seal"), cell: (entry) => <EntryDetails entry={entry} /> },
  ];
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={t("lead")}
        actions={
          <>
            <ButtonLink
              icon={<FileDown aria-hidden />}
              href={addressOf("exportAuditTable", { query: ofHorse })}
            >
              {t("asTable")}
            </ButtonLink>
            <ButtonLink
              icon={<FileDown aria-hidden />}
              href={addressOf("exportAuditLines", { query: ofHorse })}
            >
              {t("asLines")}
            </ButtonLink>
            {isManager ? (
              <ButtonLink icon={<FileDown aria-hidden />} href={addressOf("exportPractice", {})}>
                {t("everything")}
              </ButtonLink>
            ) : null}
          </>
        }
      />
      <div className="stack">
        <VerificationCard />
        <div className={`${styles["filters"] ?? ""} no-print`}>
          <SelectField<Subject>
            label={t("subject")}
            value={subject as Subject | ""}
            onChange={(about) => set({ about, id: "" })}
            emptyLabel={t("anySubject")}
            options={SUBJECTS.map((one) => ({ value: one, label: t(`subjects.${one}`) }))}
          />
          <HorsePicker
            label={t("horse")}
            value={null}
            onChoose={(horse) => set({ horse: horse?.id ?? "" })}
          />
          {horseId === "" && subjectId === "" ? null : (
            <Button onClick={() => set({ horse: "", id: "", about: "" })}>{t("clear")}</Button>
          )}
        </div>
        <Card isFlush>
          <ListView
            query={entries}
            empty={
              <EmptyState icon={<SearchX aria-hidden />} title={t("none")}>
                {t("noneText")}
              </EmptyState>
            }
          >
            {(items) => (
              <Rows
                label={t("title")}
                rows={items}
                columns={columns}
                keyOf={(entry) => String(entry.sequence)}
              />
            )}
          </ListView>
        </Card>
      </div>
    </>
  );
};
