import type { CaseFile, CourseView } from "@heelward/contracts";
import { ClipboardList, Hand, Pill, Wheat } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge, type Tone } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Findings } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";
import { LabCard } from "./lab-card.tsx";

const TONES: Readonly<Record<CourseView["status"], Tone>> = {
  draft: "plain",
  signed: "fine",
  held: "now",
  stopped: "plain",
  finished: "plain",
};

const CourseBlock = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation("cases");
  const format = useFormat(course.timeZone);
  return (
    <article className={styles["block"]}>
      <div className="row">
        <h3>{course.drugName}</h3>
        <Badge
          tone={TONES[course.status]}
          icon={course.status === "held" ? <Hand aria-hidden /> : undefined}
        >
          {t(`courseStatus.${course.status}`)}
        </Badge>
        <span className="quiet small">
          {format.date(course.startOn)} – {course.endOn === null ? "…" : format.date(course.endOn)}
          {course.reviewOn === null
            ? ""
            : ` · ${t("review", { date: format.date(course.reviewOn) })}`}
        </span>
      </div>
      <ul>
        {course.steps.map((step) => (
          <li key={step.fromDay}>
            {t("courseSteps", {
              dose: format.number(step.doseMg, 2),
              times: step.timesLocal.join(", "),
            })}
            {step.everyDays === 1 ? "" : `, ${t("everyDays", { days: step.everyDays })}`}
          </li>
        ))}
      </ul>
      {course.instructions === null ? null : <p>{course.instructions}</p>}
      {course.hold === null ? null : (
        <>
          <p>
            <strong>{t("held", { reason: course.hold.reason })}</strong>
          </p>
          <Findings findings={course.hold.findings} hidePasses />
        </>
      )}
    </article>
  );
};

/** Medicines of the case as far as the role may see them, and laboratory results. */
export const MedicinesTab = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation("cases");
  const isFarrier = useIsRole("farrier");
  const isVet = useIsRole("vet");
  return (
    <div className={styles["overview"]}>
      <Card
        title={t("tab.medicines")}
        isFlush
        actions={
          isFarrier ? undefined : (
            <>
              <ButtonLink
                href={`/monitoring/${file.horse.id}`}
                look="quiet"
                icon={<ClipboardList aria-hidden />}
              >
                {t("monitoringPage")}
              </ButtonLink>
              <ButtonLink
                href={`/recovery/${file.horse.id}`}
                look="quiet"
                icon={<Wheat aria-hidden />}
              >
                {t("recoveryPage")}
              </ButtonLink>
              <ButtonLink href={`/medication/${file.horse.id}`} icon={<Pill aria-hidden />}>
                {t("medicinesPage")}
              </ButtonLink>
            </>
          )
        }
      >
        {isFarrier ? (
          <div className={styles["block"]}>
            <p>{file.medicineNames.join(", ") || t("noMedicine")}</p>
            <p className="quiet">{t("namesOnly")}</p>
          </div>
        ) : file.courses.length === 0 ? (
          <p className={`${styles["block"] ?? ""} quiet`}>{t("noCourses")}</p>
        ) : (
          file.courses.map((course) => <CourseBlock key={course.id} course={course} />)
        )}
      </Card>
      {isVet ? <LabCard results={file.labResults} /> : null}
    </div>
  );
};
