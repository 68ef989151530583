import type { CourseView } from "@heelward/contracts";
import { AlarmClockPlus, CirclePause, FileSignature, PenLine, Pencil } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { Findings } from "../../components/findings.tsx";
import { Link } from "../../components/link.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { Verdict } from "./check-panel.tsx";
import { CourseBadge } from "./course-badge.tsx";
import { ReasonDialog, ReviewDialog, SignDialog } from "./course-dialogs.tsx";
import { DoseCalendar } from "./dose-calendar.tsx";
import { DoseRows } from "./dose-rows.tsx";
import { PergolideCard } from "./pergolide-card.tsx";
import { PlanTotals, RateTable } from "./plan-view.tsx";
import { planOf, useCourse, useDoses } from "./queries.ts";
import { ShiftDialog } from "./shift-dialog.tsx";
import styles from "./medication.module.css";

type Opened = "sign" | "hold" | "release" | "stop" | "review" | "shift";

const Actions = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation("medication");
  const [open, setOpen] = useState<Opened>();
  const isVet = useIsRole("vet");
  const close = () => setOpen(undefined);
  const isBlocked = course.findings.some((one) => one.outcome === "block");
  return (
    <>
      {open === "sign" ? <SignDialog course={course} onClose={close} /> : null}
      {open === "shift" ? <ShiftDialog course={course} onClose={close} /> : null}
      {open === "review" ? <ReviewDialog course={course} onClose={close} /> : null}
      {open === "hold" || open === "release" || open === "stop" ? (
        <ReasonDialog course={course} act={open} onClose={close} />
      ) : null}
      {isVet && course.status === "draft" ? (
        <>
          <Button
            look="primary"
            icon={<PenLine aria-hidden />}
            disabled={isBlocked}
            title={isBlocked ? t("cannotSign") : undefined}
            onClick={() => setOpen("sign")}
          >
            {t("sign")}
          </Button>
          <ButtonLink href={`/courses/${course.id}/change`} icon={<Pencil aria-hidden />}>
            {t("changeDraft")}
          </ButtonLink>
        </>
      ) : null}
      {isVet && course.status === "held" ? (
        <Button look="primary" onClick={() => setOpen("release")}>
          {t("release")}
        </Button>
      ) : null}
      {isVet && course.status === "signed" ? (
        <Button look="primary" onClick={() => setOpen("review")}>
          {t("reviewAction")}
        </Button>
      ) : null}
      {isVet && (course.status === "signed" || course.status === "held") ? (
        <Button icon={<AlarmClockPlus aria-hidden />} onClick={() => setOpen("shift")}>
          {t("shift.action")}
        </Button>
      ) : null}
      {isVet && course.status === "signed" ? (
        <ButtonLink
          href={`/courses/${course.id}/written-prescription`}
          icon={<FileSignature aria-hidden />}
        >
          {t("written.write")}
        </ButtonLink>
      ) : null}
      {course.status === "signed" ? (
        <Button look="danger" icon={<CirclePause aria-hidden />} onClick={() => setOpen("hold")}>
          {t("hold")}
        </Button>
      ) : null}
      {isVet && (course.status === "signed" || course.status === "held") ? (
        <Button look="quiet" onClick={() => setOpen("stop")}>
          {t("stop")}
        </Button>
      ) : null}
    </>
  );
};

const HoldBand = ({ hold }: { readonly hold: NonNullable<CourseView["hold"]> }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  return (
    <div className={`${styles["heldBand"] ?? ""} stack-tight`}>
      <p>
        <strong>
          {t("held", { when: format.shortDateTime(hold.raisedAt), reason: hold.reason })}
        </strong>{" "}
        {hold.raisedBy === null ? null : t("heldBy", { name: hold.raisedBy.name })}
      </p>
      {hold.findings.length === 0 ? null : <Findings findings={hold.findings} />}
    </div>
  );
};

const Signed = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  return (
    <Card title={t("signature")}>
      <div className="stack-tight">
        <p>{t("drafted", { name: course.draftedBy.name })}</p>
        {course.signedBy === null || course.signedAt === null ? null : (
          <p>
            {t("signed", { name: course.signedBy.name, when: format.dateTime(course.signedAt) })}
          </p>
        )}
        {course.stoppedAt === null ? null : (
          <p>
            {t("stopped", {
              when: format.dateTime(course.stoppedAt),
              reason: course.stopReason ?? "",
            })}
          </p>
        )}
        {course.overrides.length === 0 ? null : (
          <>
            <h3>{t("overrides")}</h3>
            <ul>
              {course.overrides.map((one) => (
                <li key={one.rule}>{one.reason}</li>
              ))}
            </ul>
          </>
        )}
        {course.signature === null ? null : <p className={styles["seal"]}>{course.signature}</p>}
      </div>
    </Card>
  );
};

const Doses = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation("medication");
  const doses = useDoses(course.horseId);
  return (
    <Card title={t("history")} isFlush>
      <ListView query={doses} empty={<EmptyState title={t("noDoses")} />}>
        {(items) => {
          const own = items.filter((dose) => dose.courseId === course.id);
          return own.length === 0 ? (
            <EmptyState title={t("noDoses")} />
          ) : (
            <DoseRows doses={own} timeZone={course.timeZone} isOfOneCourse />
          );
        }}
      </ListView>
    </Card>
  );
};

const Shown = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation(["medication", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const plan = planOf(course.plan);
  return (
    <>
      <PageHeader
        title={course.drugName}
        back={{
          href: `/medication/${course.horseId}`,
          label: t("title", { horse: course.horse.name }),
        }}
        beside={<CourseBadge status={course.status} />}
        lead={<Link href={`/horses/${course.horseId}`}>{course.horse.name}</Link>}
        actions={<Actions course={course} />}
      />
      <div className="stack">
        {course.status === "draft" ? <p className={styles["draftBand"]}>{t("draftMark")}</p> : null}
        {course.hold === null ? null : <HoldBand hold={course.hold} />}
        <div className="columns">
          <Card title={t("steps")}>
            <div className="stack">
              {plan === undefined ? null : <RateTable plan={plan} />}
              <Facts
                items={[
                  [t("route"), t(`routes.${course.route}`)],
                  [t("startOn"), format.date(course.startOn)],
                  [t("reviewOn"), course.reviewOn === null ? "–" : format.date(course.reviewOn)],
                  [
                    t("weight"),
                    t("atWeight", {
                      kg: format.number(course.weightKg, 0),
                      low: format.number(course.weightLowKg, 0),
                      high: format.number(course.weightHighKg, 0),
                      method: course.weightMethod,
                    }),
                  ],
                  ...(course.recheckOn === null
                    ? []
                    : [[t("nextBlood"), format.date(course.recheckOn)] as const]),
                  ...(course.shifts.length === 0
                    ? []
                    : [
                        [
                          t("shift.history"),
                          <ul key="shifts">
                            {course.shifts.map((one) => (
                              <li key={one.at}>
                                {t("shift.signed", {
                                  minutes: one.byMinutes,
                                  when: format.shortDateTime(one.fromAt),
                                  reason: one.reason,
                                  name: one.by.name,
                                })}
                              </li>
                            ))}
                          </ul>,
                        ] as const,
                      ]),
                  [t("instructions"), course.instructions ?? t("nothing")],
                  [t("reason"), course.reason ?? t("nothing")],
                ]}
              />
            </div>
          </Card>
          <Card title={t("checks")}>
            <div className="stack">
              {course.status === "draft" ? <Verdict findings={course.findings} /> : null}
              <Findings findings={course.findings} />
            </div>
          </Card>
        </div>
        {plan === undefined ? null : (
          <div className="columns">
            <Card title={t("calendar")}>
              <DoseCalendar plan={plan} />
            </Card>
            <Card title={t("totals")}>
              <PlanTotals plan={plan} />
            </Card>
          </div>
        )}
        {isVet && course.drugKey === "pergolide" ? <PergolideCard course={course} /> : null}
        <Doses course={course} />
        <Signed course={course} />
      </div>
    </>
  );
};

/** One course: what is given, what the rules say, who signed it, and what was really given. */
export const CoursePage = () => {
  const course = useCourse(useParam("courseId"));
  return (
    <QueryView query={course} lines={8}>
      {(data) => <Shown course={data} />}
    </QueryView>
  );
};
