import type { CaseFile } from "@heelward/contracts";
import { FileDown, PackageOpen, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam, useSearchState } from "../../app/use-address.ts";
import { PhasePill, UrgencyBadge } from "../../components/badges.tsx";
import { addressOf } from "../../api/client.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { Tabs } from "../../components/tabs.tsx";
import styles from "./case-file.module.css";
import { CaseRail } from "./case-rail.tsx";
import { DocumentsTab } from "./documents-tab.tsx";
import { ExaminationsTab } from "./examinations-tab.tsx";
import { FilmsTab } from "./films-tab.tsx";
import { FirstAidTab } from "./first-aid-tab.tsx";
import { MedicinesTab } from "./medicines-tab.tsx";
import { NotesTab } from "./notes-tab.tsx";
import { OverviewTab } from "./overview-tab.tsx";
import { PlanTab } from "./plan-tab.tsx";
import { useCaseFile, useNextAction } from "./queries.ts";
import { TimelineTab } from "./timeline-tab.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";

const KnownDialog = lazyPart(() => import("./case-dialogs.tsx").then((m) => m.KnownDialog));
const PhaseDialog = lazyPart(() => import("./case-dialogs.tsx").then((m) => m.PhaseDialog));
const CloseDialog = lazyPart(() => import("./close-dialog.tsx").then((m) => m.CloseDialog));

const NextAction = ({ caseId }: { readonly caseId: string }) => {
  const { t } = useTranslation("cases");
  const item = useNextAction(caseId);
  if (item === undefined) return null;
  return (
    <div className={`${styles["next"] ?? ""} no-print`}>
      <div>
        <span className="row">
          <UrgencyBadge urgency={item.urgency} />
          <strong>{item.title}</strong>
        </span>
        <p className="quiet small">{item.reason}</p>
      </div>
      {item.nextAction.href === `/cases/${caseId}` ? null : (
        <ButtonLink href={item.nextAction.href} look="primary">
          {t("nextAction")}: {item.nextAction.label}
        </ButtonLink>
      )}
    </div>
  );
};

const Actions = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation("cases");
  const isVet = useIsRole("vet");
  const isOffice = useIsRole("vet", "manager");
  const [dialog, setDialog] = useState<"phase" | "close" | "known">();
  const mayAsk = useIsRole("vet", "farrier");
  const params = { caseId: file.case.id };
  const takeOut = (
    <>
      {mayAsk ? (
        <ButtonLink
          look="quiet"
          icon={<PackageOpen aria-hidden />}
          href={addressOf("readSecondOpinionPack", { params })}
        >
          {t("secondOpinion")}
        </ButtonLink>
      ) : null}
      {isOffice ? (
        <ButtonLink
          look="quiet"
          icon={<FileDown aria-hidden />}
          href={addressOf("exportCase", { params })}
        >
          {t("takeOut")}
        </ButtonLink>
      ) : null}
    </>
  );
  if (!isVet || file.case.phase === "closed") return takeOut;
  const props = { one: file.case, onClose: () => setDialog(undefined) };
  return (
    <>
      {takeOut}
      <Button onClick={() => setDialog("known")}>{t("change")}</Button>
      <Button onClick={() => setDialog("phase")}>{t("changePhase")}</Button>
      <Button look="danger" onClick={() => setDialog("close")}>
        {t("close")}
      </Button>
      {dialog === "phase" ? <PhaseDialog {...props} /> : null}
      {dialog === "close" ? <CloseDialog {...props} examinations={file.examinations} /> : null}
      {dialog === "known" ? <KnownDialog {...props} /> : null}
    </>
  );
};

const CaseTabs = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation("cases");
  const { get, set } = useSearchState();
  const readsFilms = useIsRole("vet", "farrier", "manager");
  const { id } = file.case;
  const isClosed = file.case.phase === "closed";
  const openNotes = file.notes.filter((note) => note.state !== "acknowledged").length;
  const contents = {
    overview: <OverviewTab file={file} onTimeline={() => set({ tab: "timeline" })} />,
    timeline: <TimelineTab caseId={id} />,
    examinations: (
      <ExaminationsTab
        examinations={file.examinations}
        caseId={id}
        timeZone={file.horse.yard.timeZone}
        isClosed={isClosed}
      />
    ),
    films: <FilmsTab films={file.radiographs} caseId={id} isClosed={isClosed} />,
    plan: <PlanTab file={file} />,
    medicines: <MedicinesTab file={file} />,
    notes: <NotesTab notes={file.notes} horse={file.case.horse} />,
    firstAid: <FirstAidTab sheets={file.firstAidSheets} caseId={id} isClosed={isClosed} />,
    documents: <DocumentsTab documents={file.documents} horseId={file.horse.id} />,
  };
  const counts: Partial<Record<keyof typeof contents, number>> = {
    films: file.radiographs.length,
    notes: openNotes,
    documents: file.documents.length,
  };
  // A carer reads neither films nor plans, and is not told that there are none.
  const ids = (Object.keys(contents) as (keyof typeof contents)[]).filter(
    (one) => readsFilms || (one !== "films" && one !== "plan"),
  );
  return (
    <Tabs
      label={t("tabs")}
      selected={ids.find((one) => one === get("tab")) ?? "overview"}
      onSelect={(tab) => set({ tab: tab === "overview" ? "" : tab })}
      items={ids.map((one) => ({
        id: one,
        label: t(`tab.${one}`),
        count: counts[one],
        content: contents[one],
      }))}
    />
  );
};

/** The whole case on one page: where it stands, what to take care of, what is next, and everything in it. */
export const CaseFilePage = () => {
  const { t } = useTranslation("cases");
  const caseId = useParam("caseId");
  const file = useCaseFile(caseId);
  const readsPlans = useIsRole("vet", "farrier", "manager");
  return (
    <QueryView query={file} lines={10}>
      {(data) => (
        <>
          <PageHeader
            title={data.case.horse.name}
            back={{ href: "/cases", label: t("title") }}
            beside={<PhasePill phase={data.case.phase} />}
            lead={[
              t("number", { number: data.case.number }),
              data.case.cause === null
                ? `${t("cause")}: ${t("causeUnknown")}`
                : `${data.case.cause}${data.case.causeConfidence === null ? "" : ` (${t(`confidence.${data.case.causeConfidence}`)})`}`,
              data.horse.yard.name,
            ].join(" · ")}
            actions={<Actions file={data} />}
          />
          {data.case.closeReason === null ? null : (
            <div className={styles["cautions"]}>
              <strong>{t("closed", { reason: t(`closeReasons.${data.case.closeReason}`) })}</strong>
              {data.case.closeNote} {t("closedText")}
              {readsPlans ? (
                <Link className="no-print" href={`/cases/${caseId}/learning`}>
                  {t("learningNote")}
                </Link>
              ) : null}
            </div>
          )}
          {data.cautions.length === 0 ? null : (
            <ul className={styles["cautions"]} aria-label={t("cautions")}>
              {data.cautions.map((one) => (
                <li key={one}>
                  <TriangleAlert aria-hidden />
                  {one}
                </li>
              ))}
            </ul>
          )}
          <NextAction caseId={caseId} />
          <div className={styles["layout"]}>
            <div className={styles["main"]}>
              <CaseTabs file={data} />
              <p className="quiet small" style={{ marginBlockStart: "var(--s4)" }}>
                {t("caution")}
              </p>
            </div>
            <aside className={styles["rail"]}>
              <CaseRail file={data} />
            </aside>
          </div>
        </>
      )}
    </QueryView>
  );
};
