import type { FirstAidSheet } from "@heelward/contracts";
import { CircleCheck, Printer } from "lucide-react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { PrintStamp } from "../../parts/print-stamp.tsx";
import { useSheet } from "./queries.ts";
import { RingFirst, SheetNotes, Steps } from "./sheet-parts.tsx";
import styles from "./sheet.module.css";
import { TickStep } from "./tick-step.tsx";

const DoneLine = ({ tick }: { readonly tick: FirstAidSheet["ticks"][number] }) => {
  const { t } = useTranslation("firstAid");
  const format = useFormat();
  return (
    <p className={styles["doneLine"]}>
      <CircleCheck aria-hidden />
      {t("done", { when: format.shortDateTime(tick.doneAt), name: tick.doneBy.name })}
      {tick.photoId === null ? null : (
        <a
          href={addressOf("readDocumentContent", { params: { documentId: tick.photoId } })}
          target="_blank"
          rel="noreferrer"
        >
          {t("seePhoto")}
        </a>
      )}
    </p>
  );
};

/** The yard's first-aid sheet: ring, then step by step, ticked with a photo. */
export const SheetPage = () => {
  const { t } = useTranslation(["firstAid", "common"]);
  const format = useFormat();
  const sheet = useSheet(useParam("sheetId"));
  const mayTick = useIsRole("vet", "carer");
  return (
    <QueryView query={sheet} lines={8}>
      {(data) => {
        const ticks = new Map(data.ticks.map((tick) => [tick.stepId, tick]));
        return (
          <div className={styles["sheet"]}>
            <PageHeader
              title={t("sheetOf", { horse: data.horse.name })}
              back={{ href: `/cases/${data.caseId}`, label: data.horse.name }}
              lead={`${t("written", {
                when: format.shortDateTime(data.writtenAt),
                name: data.writtenBy.name,
              })} · ${t("progress", {
                done: data.ticks.length,
                all: data.steps.filter((step) => step.checklist).length,
              })}`}
              actions={
                <Button icon={<Printer aria-hidden />} onClick={() => window.print()}>
                  {t("common:print")}
                </Button>
              }
            />
            <RingFirst phone={data.phone} />
            <Steps
              steps={data.steps}
              isDone={(step) => ticks.has(step.id)}
              below={(step) => {
                const tick = ticks.get(step.id);
                return tick === undefined ? null : <DoneLine tick={tick} />;
              }}
              beside={(step) =>
                mayTick && step.checklist && !ticks.has(step.id) ? (
                  <TickStep sheet={data} stepId={step.id} wantsPhoto={step.photo} />
                ) : null
              }
            />
            <SheetNotes sheet={data} />
            <PrintStamp
              version={t("written", {
                when: format.shortDateTime(data.writtenAt),
                name: data.writtenBy.name,
              })}
            />
          </div>
        );
      }}
    </QueryView>
  );
};
