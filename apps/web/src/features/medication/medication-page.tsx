import type { CourseView, Horse } from "@heelward/contracts";
import { ClipboardList, FileDown, HandHelping, Pill, Plus, Printer, Syringe } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam, useSearchState } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { classNames } from "../../components/class-names.ts";
import { Link } from "../../components/link.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { Tabs } from "../../components/tabs.tsx";
import { useFormat } from "../../language/format.ts";
import { ClearTimes } from "./clear-times.tsx";
import { CourseBadge } from "./course-badge.tsx";
import { DoseRows } from "./dose-rows.tsx";
import { LedgerView } from "./ledger-view.tsx";
import { OtherMedicines } from "./other-medicines.tsx";
import { useAmount } from "./plan-view.tsx";
import { useCourses, useDoses, useHorse, useLedger } from "./queries.ts";
import { RefusedList } from "./refused-list.tsx";
import { AskDialog, SingleDoseDialog } from "./request-dialogs.tsx";
import { WrittenList } from "./written-list.tsx";
import styles from "./medication.module.css";

const CourseLine = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const amount = useAmount();
  return (
    <li className={classNames(styles["course"], course.status === "draft" && styles["draft"])}>
      <div className="stack-tight">
        <div className="row">
          <span className={styles["courseName"]}>
            <Link href={`/courses/${course.id}`}>{course.drugName}</Link>
          </span>
          <CourseBadge status={course.status} />
        </div>
        <p>
          {course.steps
            .map((step) =>
              [
                t("stepLine", {
                  count: step.toDay - step.fromDay + 1,
                  from: step.fromDay,
                  to: step.toDay,
                  times: step.timesLocal.length,
                  amount: amount(step.doseMg),
                }),
                ...(step.everyDays === 1 ? [] : [t("everyDays", { count: step.everyDays })]),
              ].join(", "),
            )
            .join("; ")}
        </p>
        {course.hold === null ? null : (
          <p>
            {t("held", {
              when: format.shortDateTime(course.hold.raisedAt),
              reason: course.hold.reason,
            })}
          </p>
        )}
      </div>
      <p className="quiet small">
        {[
          t("from", { date: format.date(course.startOn) }),
          course.endOn === null ? t("openEnd") : t("until", { date: format.date(course.endOn) }),
          ...(course.reviewOn === null ||
          course.status === "finished" ||
          course.status === "stopped"
            ? []
            : [t("review", { date: format.date(course.reviewOn) })]),
        ].join(" · ")}
      </p>
    </li>
  );
};

const Courses = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const courses = useCourses(horse.id);
  return (
    <ListView
      query={courses}
      empty={
        <EmptyState icon={<Pill aria-hidden />} title={t("noCourses")}>
          {t("noCoursesText")}
        </EmptyState>
      }
    >
      {(items) => (
        <ul className={styles["courses"]}>
          {items.map((course) => (
            <CourseLine key={course.id} course={course} />
          ))}
        </ul>
      )}
    </ListView>
  );
};

const Doses = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const doses = useDoses(horse.id);
  const mayTake = useIsRole("vet", "manager");
  const params = { horseId: horse.id };
  return (
    <Card
      isFlush
      title={t("record")}
      actions={
        mayTake ? (
          <>
            <ButtonLink
              look="quiet"
              icon={<FileDown aria-hidden />}
              href={addressOf("readMedicineRecordCsv", { params })}
            >
              {t("recordCsv")}
            </ButtonLink>
            <ButtonLink
              look="quiet"
              icon={<Printer aria-hidden />}
              href={addressOf("readMedicineRecordPdf", { params })}
            >
              {t("recordPdf")}
            </ButtonLink>
          </>
        ) : undefined
      }
    >
      <ListView query={doses} empty={<EmptyState title={t("noDoses")} />}>
        {(items) => <DoseRows doses={items} timeZone={horse.yard.timeZone} />}
      </ListView>
    </Card>
  );
};

const Actions = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const isVet = useIsRole("vet");
  const [open, setOpen] = useState<"ask" | "single">();
  const courses = useCourses(horse.id).data?.pages.flatMap((page) => page.items) ?? [];
  const close = () => setOpen(undefined);
  return (
    <>
      {open === "ask" ? <AskDialog horse={horse} courses={courses} onClose={close} /> : null}
      {open === "single" ? (
        <SingleDoseDialog horse={horse} courses={courses} onClose={close} />
      ) : null}
      {isVet ? (
        <>
          <ButtonLink
            href={`/medication/${horse.id}/new`}
            look="primary"
            icon={<Plus aria-hidden />}
          >
            {t("newCourse")}
          </ButtonLink>
          <Button icon={<Syringe aria-hidden />} onClick={() => setOpen("single")}>
            {t("singleDose")}
          </Button>
        </>
      ) : null}
      <ButtonLink href={`/monitoring/${horse.id}`} icon={<ClipboardList aria-hidden />}>
        {t("tasks")}
      </ButtonLink>
      <Button look="quiet" icon={<HandHelping aria-hidden />} onClick={() => setOpen("ask")}>
        {t("askMore")}
      </Button>
    </>
  );
};

const Shown = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const { get, set } = useSearchState();
  const seesLedger = useIsRole("vet", "carer");
  const seesRefused = useIsRole("vet", "manager");
  const ledger = useLedger(horse.id, seesLedger);
  return (
    <>
      <PageHeader
        title={t("title", { horse: horse.name })}
        back={{
          href: horse.openCaseId === null ? `/horses/${horse.id}` : `/cases/${horse.openCaseId}`,
          label: horse.name,
        }}
        lead={t("caution")}
        actions={<Actions horse={horse} />}
      />
      <Tabs
        label={t("title", { horse: horse.name })}
        selected={get("tab") === "" ? "courses" : get("tab")}
        onSelect={(tab) => set({ tab: tab === "courses" ? "" : tab })}
        items={[
          { id: "courses", label: t("tabs.courses"), content: <Courses horse={horse} /> },
          ...(seesLedger
            ? [
                {
                  id: "ledger",
                  label: t("tabs.ledger"),
                  content: (
                    <QueryView query={ledger}>
                      {(data) => <LedgerView ledger={data} horse={horse} />}
                    </QueryView>
                  ),
                },
              ]
            : []),
          { id: "doses", label: t("tabs.doses"), content: <Doses horse={horse} /> },
          { id: "other", label: t("tabs.other"), content: <OtherMedicines horse={horse} /> },
          ...(seesRefused
            ? [
                {
                  id: "written",
                  label: t("tabs.written"),
                  content: <WrittenList horse={horse} />,
                },
                {
                  id: "clear",
                  label: t("tabs.clear"),
                  content: <ClearTimes horse={horse} />,
                },
                {
                  id: "refused",
                  label: t("tabs.refused"),
                  content: <RefusedList horse={horse} />,
                },
              ]
            : []),
        ]}
      />
    </>
  );
};

/** The medicines of one horse: courses, ledger, doses, what was refused. */
export const MedicationPage = () => {
  const horse = useHorse(useParam("horseId"));
  return (
    <QueryView query={horse} lines={8}>
      {(data) => <Shown horse={data} />}
    </QueryView>
  );
};
