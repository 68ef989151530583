import type { CaseItem } from "@heelward/contracts";
import { FolderSearch, PhoneIncoming, Plus } from "lucide-react";
import { useDeferredValue, useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { PhasePill } from "../../components/badges.tsx";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { type Column, Rows } from "../../components/data-list.tsx";
import { SelectField, TextField } from "../../components/field.tsx";
import { Link } from "../../components/link.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useCases } from "./queries.ts";
import { lazyPart } from "../../components/lazy-part.tsx";

const OpenCaseDialog = lazyPart(() =>
  import("./open-case-dialog.tsx").then((m) => m.OpenCaseDialog),
);

const PHASES = ["acute", "subacute", "chronic active", "maintenance"] as const;
type Phase = (typeof PHASES)[number];
const SHOWN = ["true", "false", "both"] as const;
type Shown = (typeof SHOWN)[number];

const useColumns = (): readonly Column<CaseItem>[] => {
  const { t } = useTranslation("cases");
  const format = useFormat();
  return [
    {
      key: "horse",
      label: t("horse"),
      hideLabelOnPhone: true,
      cell: (one) => (
        <>
          <Link href={`/cases/${one.id}`}>
            <strong>{one.horse.name}</strong>
          </Link>{" "}
          <span className="quiet small">{t("number", { number: one.number })}</span>
        </>
      ),
    },
    {
      key: "phase",
      label: t("phase"),
      hideLabelOnPhone: true,
      cell: (one) => <PhasePill phase={one.phase} />,
    },
    {
      key: "since",
      label: t("since"),
      cell: (one) => <span className="one-line">{format.day(one.phaseSince)}</span>,
    },
    { key: "yard", label: t("yard"), cell: (one) => one.yard.name },
    {
      key: "cause",
      label: t("cause"),
      cell: (one) => one.cause ?? <span className="quiet">{t("causeUnknown")}</span>,
    },
    {
      key: "people",
      label: `${t("vet")}, ${t("farrier")}`,
      cell: (one) => `${one.leadVet?.name ?? t("noVet")}, ${one.farrier?.name ?? t("noFarrier")}`,
    },
    {
      key: "due",
      label: t("due"),
      cell: (one) =>
        one.dueOn === null ? null : <span className="one-line">{format.shortDate(one.dueOn)}</span>,
    },
  ];
};

export const CasesPage = () => {
  const { t } = useTranslation(["cases", "common"]);
  const { get, set } = useSearchState();
  const mayCall = useIsRole("vet", "manager", "carer");
  const mayOpen = useIsRole("vet", "manager");
  const [isOpening, setOpening] = useState(false);
  const q = useDeferredValue(get("q").trim());
  const phase = PHASES.find((one) => one === get("phase"));
  const shown = SHOWN.find((one) => one === get("open")) ?? "true";
  const cases = useCases({
    ...(shown === "both" ? {} : { open: shown }),
    ...(phase === undefined ? {} : { phase }),
    ...(q === "" ? {} : { q }),
  });
  const columns = useColumns();
  return (
    <>
      <PageHeader
        title={t("title")}
        actions={
          <>
            {mayCall ? (
              <ButtonLink href="/phone-call" look="primary" icon={<PhoneIncoming aria-hidden />}>
                {t("phoneCall")}
              </ButtonLink>
            ) : null}
            {mayOpen ? (
              <Button icon={<Plus aria-hidden />} onClick={() => setOpening(true)}>
                {t("openWithout")}
              </Button>
            ) : null}
          </>
        }
      />
      {isOpening ? <OpenCaseDialog onClose={() => setOpening(false)} /> : null}
      <div className="stack">
        <div className="filters no-print">
          <TextField
            label={t("find")}
            type="search"
            value={get("q")}
            onChange={(next) => set({ q: next })}
          />
          <SelectField<Phase>
            label={t("phase")}
            value={phase ?? ""}
            onChange={(next) => set({ phase: next })}
            emptyLabel={t("allPhases")}
            options={PHASES.map((one) => ({ value: one, label: t(`common:phase.${one}`) }))}
          />
          <SelectField<Shown>
            label={t("shown")}
            value={shown}
            onChange={(next) => set({ open: next === "true" ? "" : next })}
            options={[
              { value: "true", label: t("openOnes") },
              { value: "false", label: t("closedOnes") },
              { value: "both", label: t("both") },
            ]}
          />
        </div>
        <Card isFlush>
          <ListView
            query={cases}
            empty={
              <EmptyState icon={<FolderSearch aria-hidden />} title={t("none")}>
                {t("noneText")}
              </EmptyState>
            }
          >
            {(items) => (
              <Rows label={t("title")} rows={items} columns={columns} keyOf={(one) => one.id} />
            )}
          </ListView>
        </Card>
      </div>
    </>
  );
};
