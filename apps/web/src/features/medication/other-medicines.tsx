import type { Horse } from "@heelward/contracts";
import { Footprints, Pill, Plus } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { SelectField, TextArea, TextField } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { useOtherMedicines } from "./queries.ts";

const CLASSES = ["corticosteroid", "nephrotoxic", "anticoagulant", "sedative", "other"] as const;
const ROUTES = [
  "oral",
  "intravenous",
  "intramuscular",
  "into a joint",
  "topical",
  "patch",
  "inhaled",
  "eye",
] as const;
const TEXTS = ["amount", "batch", "reason"] as const;

const RecordDialog = ({
  horse,
  onClose,
}: {
  readonly horse: Horse;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["medication", "common"]);
  const { session } = useCurrent();
  const record = useWrite("recordOtherMedicine");
  const [draft, set] = useDraft(() => ({
    name: "",
    class: "" as (typeof CLASSES)[number] | "",
    route: "" as (typeof ROUTES)[number] | "",
    amount: "",
    batch: "",
    givenAt: nowIn(horse.yard.timeZone),
    givenBy: session.person.name,
    reason: "",
  }));
  const { class: group, route } = draft;
  return (
    <Dialog title={t("other.recordTitle", { horse: horse.name })} isOpen isWide onClose={onClose}>
      <Form
        problem={record.error}
        onSubmit={() => {
          if (group === "" || route === "") return;
          record.mutate(
            {
              params: { horseId: horse.id },
              body: {
                name: draft.name,
                class: group,
                route,
                givenAt: draft.givenAt,
                givenBy: draft.givenBy,
                ...Object.fromEntries(
                  TEXTS.flatMap((name) => {
                    const text = typedText(draft[name]);
                    return text === undefined ? [] : [[name, text]];
                  }),
                ),
              },
            },
            { onSuccess: onClose },
          );
        }}
        footer={
          <>
            <Button
              type="submit"
              look="primary"
              isBusy={record.isPending}
              disabled={group === "" || route === ""}
            >
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p className="quiet">{t("other.recordLead")}</p>
        <div className="columns">
          <TextField
            label={t("other.name")}
            name="name"
            hint={t("other.nameHint")}
            value={draft.name}
            onChange={set("name")}
          />
          <SelectField
            label={t("other.class")}
            name="class"
            value={group}
            onChange={set("class")}
            emptyLabel={t("common:chooseFirst")}
            options={CLASSES.map((value) => ({ value, label: t(`other.classes.${value}`) }))}
          />
        </div>
        <div className="columns">
          <SelectField
            label={t("route")}
            name="route"
            value={route}
            onChange={set("route")}
            emptyLabel={t("common:chooseFirst")}
            options={ROUTES.map((value) => ({ value, label: t(`other.routes.${value}`) }))}
          />
          <TextField
            label={t("other.amount")}
            name="amount"
            isOptional
            value={draft.amount}
            onChange={set("amount")}
          />
          <TextField
            label={t("batch")}
            name="batch"
            isOptional
            value={draft.batch}
            onChange={set("batch")}
          />
        </div>
        <div className="columns">
          <MomentField
            label={t("givenAt")}
            name="givenAt"
            timeZone={horse.yard.timeZone}
            value={draft.givenAt}
            onChange={set("givenAt")}
          />
          <TextField
            label={t("other.givenBy")}
            name="givenBy"
            value={draft.givenBy}
            onChange={set("givenBy")}
          />
        </div>
        <TextArea
          label={t("why")}
          name="reason"
          isOptional={group !== "corticosteroid"}
          rows={2}
          hint={group === "corticosteroid" ? t("other.steroidHint") : undefined}
          value={draft.reason}
          onChange={set("reason")}
        />
      </Form>
    </Dialog>
  );
};

/** Medicines given outside the formulary's courses: steroids, sedatives, what a hospital gave. */
export const OtherMedicines = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const format = useFormat(horse.yard.timeZone);
  const medicines = useOtherMedicines(horse.id);
  const isVet = useIsRole("vet");
  const [isOpen, setOpen] = useState(false);
  return (
    <Card
      isFlush
      title={t("tabs.other")}
      actions={
        isVet ? (
          <Button icon={<Plus aria-hidden />} onClick={() => setOpen(true)}>
            {t("other.record")}
          </Button>
        ) : undefined
      }
    >
      {isOpen ? <RecordDialog horse={horse} onClose={() => setOpen(false)} /> : null}
      <QueryView query={medicines}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<Pill aria-hidden />} title={t("other.none")}>
              {t("other.noneText")}
            </EmptyState>
          ) : (
            <Rows
              label={t("tabs.other")}
              rows={items}
              keyOf={(one) => one.id}
              columns={[
                {
                  key: "what",
                  label: t("drug"),
                  hideLabelOnPhone: true,
                  cell: (one) => (
                    <>
                      <strong>{one.name}</strong>
                      <div className="quiet small">
                        {[
                          t(`other.classes.${one.class}`),
                          t(`other.routes.${one.route as "oral"}`, { defaultValue: one.route }),
                          ...(one.amount === null ? [] : [one.amount]),
                          ...(one.batch === null ? [] : [`${t("batch")} ${one.batch}`]),
                        ].join(" · ")}
                      </div>
                    </>
                  ),
                },
                {
                  key: "when",
                  label: t("when"),
                  hideLabelOnPhone: true,
                  cell: (one) => (
                    <>
                      {format.shortDateTime(one.givenAt)}
                      <div className="quiet small">{one.givenBy}</div>
                    </>
                  ),
                },
                {
                  key: "what-then",
                  label: t("why"),
                  hideLabelOnPhone: true,
                  cell: (one) => (
                    <div className="stack-tight">
                      {one.reason === null ? null : <span>{one.reason}</span>}
                      {one.watchUntil === null ? null : (
                        <div>
                          <Badge tone="today" icon={<Footprints aria-hidden />}>
                            {t("other.watch", { date: format.date(one.watchUntil) })}
                          </Badge>
                        </div>
                      )}
                      <Findings findings={one.findings} hidePasses />
                    </div>
                  ),
                },
              ]}
            />
          )
        }
      </QueryView>
    </Card>
  );
};
