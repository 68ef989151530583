import type { CaseTask, Procedure } from "@heelward/contracts";
import { useQuery } from "@tanstack/react-query";
import { Check, Plus, Scissors } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { read } from "../../api/use-call.ts";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Badge, type Tone } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts, Rows } from "../../components/data-list.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { PhotoStrip } from "../../parts/photo-picker.tsx";
import { FinishTaskDialog } from "./finish-task-dialog.tsx";
import { AskDialog, DeclineDialog, OrderDialog, RecordDialog } from "./procedure-dialogs.tsx";

const TONES: Readonly<Record<CaseTask["state"], Tone>> = {
  "to come": "plain",
  due: "today",
  late: "now",
  done: "fine",
  "set aside": "plain",
};

const Tasks = ({ tasks }: { readonly tasks: readonly CaseTask[] }) => {
  const { t } = useTranslation(["procedures", "common"]);
  const format = useFormat();
  const { roles } = useCurrent().session.person;
  const [open, setOpen] = useState<CaseTask>();
  const mayFinish = (task: CaseTask) =>
    task.doneAt === null &&
    task.state !== "done" &&
    (roles.includes("vet") || roles.includes(task.forRole));
  return (
    <Card title={t("tasks")}>
      {tasks.length === 0 ? (
        <p className="quiet">{t("noTasks")}</p>
      ) : (
        <Rows
          label={t("tasks")}
          rows={tasks}
          keyOf={(task) => task.id}
          columns={[
            {
              key: "task",
              label: t("task"),
              hideLabelOnPhone: true,
              cell: (task) => (
                <div className="stack-tight">
                  <strong>{task.title}</strong>
                  {task.detail === null ? null : <span className="quiet small">{task.detail}</span>}
                  {task.outcome === null ? null : <span className="small">{task.outcome}</span>}
                  <PhotoStrip ids={task.photoIds} />
                </div>
              ),
            },
            { key: "due", label: t("due"), cell: (task) => format.date(task.dueOn) },
            {
              key: "state",
              label: t("state"),
              cell: (task) => (
                <Badge tone={TONES[task.state]}>
                  {t(`states.${task.state}`)} · {t(`forRole.${task.forRole}`)}
                </Badge>
              ),
            },
            {
              key: "act",
              label: "",
              cell: (task) =>
                mayFinish(task) ? (
                  <Button icon={<Check aria-hidden />} onClick={() => setOpen(task)}>
                    {t("finish")}
                  </Button>
                ) : null,
            },
          ]}
        />
      )}
      {open === undefined ? null : (
        <FinishTaskDialog task={open} onClose={() => setOpen(undefined)} />
      )}
    </Card>
  );
};

type Step = "order" | "record" | "decline";

const ProcedureCard = ({ procedure }: { readonly procedure: Procedure }) => {
  const { t } = useTranslation(["procedures", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const [step, setStep] = useState<Step>();
  const close = () => setStep(undefined);
  const { consent } = procedure;
  return (
    <Card
      title={`${t(`kinds.${procedure.kind}`)}, ${t(`common:foot.${procedure.foot}`)}`}
      actions={
        isVet && procedure.status === "requested" ? (
          <>
            <Button look="primary" onClick={() => setStep("order")}>
              {t("order")}
            </Button>
            <Button look="quiet" onClick={() => setStep("decline")}>
              {t("decline")}
            </Button>
          </>
        ) : isVet && procedure.status === "signed" ? (
          <Button look="primary" onClick={() => setStep("record")}>
            {t("record")}
          </Button>
        ) : undefined
      }
    >
      <div className="stack-tight">
        <Badge tone={procedure.status === "requested" ? "today" : "plain"}>
          {t(`status.${procedure.status}`)}
        </Badge>
        <p>{procedure.reason}</p>
        <Facts
          items={[
            [
              t("status.requested"),
              t("askedBy", {
                name: procedure.requestedBy.name,
                when: format.dateTime(procedure.requestedAt),
              }),
            ],
            ...(consent === null
              ? []
              : [
                  [
                    t("consentBy", { name: consent.by, when: format.dateTime(consent.at) }),
                    consent.text,
                  ] as const,
                ]),
            ...(procedure.signedBy === null || procedure.signedAt === null
              ? []
              : [
                  [
                    t("status.signed"),
                    `${procedure.signedBy.name}, ${format.dateTime(procedure.signedAt)}`,
                  ] as const,
                ]),
            ...(procedure.aftercare.length === 0
              ? []
              : [
                  [
                    t("aftercare"),
                    <ul key="aftercare">
                      {procedure.aftercare.map((line, index) => (
                        <li key={line}>
                          {t("afterDays", { line, day: procedure.aftercareDays[index] ?? 1 })}
                        </li>
                      ))}
                    </ul>,
                  ] as const,
                ]),
            ...(procedure.found === null ? [] : [[t("found"), procedure.found] as const]),
            ...(procedure.declinedReason === null
              ? []
              : [[t("declineReason"), procedure.declinedReason] as const]),
          ]}
        />
        <PhotoStrip ids={procedure.photoIds} />
      </div>
      {step === "order" ? <OrderDialog procedure={procedure} onClose={close} /> : null}
      {step === "record" ? <RecordDialog procedure={procedure} onClose={close} /> : null}
      {step === "decline" ? <DeclineDialog procedure={procedure} onClose={close} /> : null}
    </Card>
  );
};

const Procedures = ({ caseId }: { readonly caseId: string }) => {
  const { t } = useTranslation(["procedures", "common"]);
  const mayAsk = useIsRole("vet", "farrier");
  const procedures = useQuery(read("listProcedures", { params: { caseId } }));
  const [isAsking, setAsking] = useState(false);
  return (
    <section className="stack">
      <Card
        title={t("procedures")}
        actions={
          mayAsk ? (
            <Button icon={<Plus aria-hidden />} onClick={() => setAsking(true)}>
              {t("ask")}
            </Button>
          ) : undefined
        }
      >
        <p className="quiet small">{t("caution")}</p>
      </Card>
      <QueryView query={procedures}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<Scissors aria-hidden />} title={t("none")}>
              {t("noneText")}
            </EmptyState>
          ) : (
            <div className="stack">
              {items.map((one) => (
                <ProcedureCard key={one.id} procedure={one} />
              ))}
            </div>
          )
        }
      </QueryView>
      {isAsking ? <AskDialog caseId={caseId} onClose={() => setAsking(false)} /> : null}
    </section>
  );
};

/** What plans, visits and procedures leave to be done, and the procedures themselves. */
export const ProceduresPage = () => {
  const { t } = useTranslation(["procedures", "common"]);
  const caseId = useParam("caseId");
  const found = useQuery(read("readCase", { params: { caseId } }));
  const tasks = useQuery(read("listCaseTasks", { params: { caseId } }));
  // The yard does the aftercare; the procedures themselves are for those who read films and plans.
  const isClinical = useIsRole("vet", "farrier", "manager");
  return (
    <>
      <PageHeader
        title={t("title", { horse: found.data?.horse.name ?? "" })}
        back={{ href: `/cases/${caseId}`, label: t("common:back") }}
      />
      <div className="stack">
        <QueryView query={tasks}>{({ items }) => <Tasks tasks={items} />}</QueryView>
        {isClinical ? <Procedures caseId={caseId} /> : null}
      </div>
    </>
  );
};
