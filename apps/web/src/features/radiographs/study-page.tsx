import type { Answer } from "../../api/operations.ts";
import { BadgeCheck, CircleDashed, Repeat2, Signature } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { Form } from "../../components/form.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useStudy } from "./queries.ts";

type Study = Answer<"readRepeatReadingStudy">;
type Result = Study["items"][number];

const DIGITS = 2;
const unitOf = (unit: string): string => (unit === "deg" ? "°" : unit === "mm" ? " mm" : "");

const AdoptDialog = ({
  ready,
  onClose,
}: {
  readonly ready: readonly Result[];
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const format = useFormat();
  const adopt = useWrite("adoptRepeatReadingStudy");
  return (
    <Dialog title={t("study.adopt")} isOpen onClose={onClose}>
      <Form
        problem={adopt.error}
        onSubmit={() =>
          adopt.mutate(
            { body: { measures: ready.map((one) => one.measure) } },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button look="primary" type="submit" isBusy={adopt.isPending}>
              {t("study.adoptNow", { count: ready.length })}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("study.adoptLead")}</p>
        <ul className="small">
          {ready.map((one) => (
            <li key={one.measure}>
              {t("study.adoptLine", {
                label: one.label,
                before: format.number(one.inUse.sem, DIGITS) + unitOf(one.unit),
                after: format.number(one.sem, DIGITS) + unitOf(one.unit),
              })}
            </li>
          ))}
        </ul>
      </Form>
    </Dialog>
  );
};

const Results = ({ study }: { readonly study: Study }) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const figure = (value: number | null, unit: string) =>
    value === null ? "–" : format.number(value, DIGITS) + unitOf(unit);
  return (
    <Rows
      label={t("study.title")}
      rows={study.items}
      keyOf={(one) => one.measure}
      columns={[
        {
          key: "measure",
          label: t("measure"),
          cell: (one) => <strong>{one.label}</strong>,
          hideLabelOnPhone: true,
        },
        {
          key: "size",
          label: t("study.size"),
          cell: (one) =>
            t("study.sizeOf", { films: one.films, readers: one.readers, readings: one.readings }),
        },
        {
          key: "same",
          label: t("study.same"),
          cell: (one) => figure(one.semSameReader, one.unit),
        },
        {
          key: "between",
          label: t("study.between"),
          cell: (one) => figure(one.semBetweenReaders, one.unit),
        },
        {
          key: "sem",
          label: t("study.sem"),
          cell: (one) => <strong>{figure(one.sem, one.unit)}</strong>,
        },
        {
          key: "change",
          label: t("study.change"),
          cell: (one) => figure(one.smallestRealChange, one.unit),
        },
        {
          key: "inUse",
          label: t("study.inUse"),
          cell: (one) =>
            one.inUse.isOwn && one.inUse.since !== null
              ? t("study.own", {
                  figure: figure(one.inUse.sem, one.unit),
                  since: format.date(one.inUse.since),
                })
              : t("study.standard", { figure: figure(one.inUse.sem, one.unit) }),
        },
        {
          key: "state",
          label: "",
          cell: (one) =>
            one.enough ? (
              <Badge tone="fine" icon={<BadgeCheck aria-hidden />}>
                {t("study.enough")}
              </Badge>
            ) : (
              <Badge icon={<CircleDashed aria-hidden />}>{t("study.notEnough")}</Badge>
            ),
        },
      ]}
    />
  );
};

/** How far two readings of one film lie apart in this practice, and letting comparisons use it. */
export const StudyPage = () => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const study = useStudy();
  const { session } = useCurrent();
  const isVet = useIsRole("vet");
  const [isOpen, setOpen] = useState(false);
  const ready = study.data?.items.filter((one) => one.enough && one.sem > 0) ?? [];
  const mayAdopt = isVet && session.person.clinicalLead && ready.length > 0;
  return (
    <>
      <PageHeader
        title={t("study.title")}
        lead={t("study.lead")}
        actions={
          mayAdopt ? (
            <Button look="primary" icon={<Signature aria-hidden />} onClick={() => setOpen(true)}>
              {t("study.adopt")}
            </Button>
          ) : undefined
        }
      />
      <QueryView query={study}>
        {(data) =>
          data.items.length === 0 ? (
            <EmptyState icon={<Repeat2 aria-hidden />} title={t("study.none")}>
              {t("study.noneText")}
            </EmptyState>
          ) : (
            <div className="stack">
              <p>
                {t("study.soFar", {
                  films: data.films,
                  names: format.list(data.readers.map((one) => one.name)),
                })}{" "}
                <span className="quiet">
                  {data.items.find((one) => !one.enough)?.missing ?? t("study.leadAdopts")}
                </span>
              </p>
              <Card isFlush>
                <Results study={data} />
              </Card>
            </div>
          )
        }
      </QueryView>
      {isOpen ? <AdoptDialog ready={ready} onClose={() => setOpen(false)} /> : null}
    </>
  );
};
