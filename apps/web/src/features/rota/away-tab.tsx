import { Plus, Sun } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { SelectField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { EmptyState, ErrorState, QueryView } from "../../components/states.tsx";
import { useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { useAbsences, useToday } from "./queries.ts";

const AwayDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation(["rota", "common"]);
  const { session } = useCurrent();
  const isManager = useIsRole("manager");
  const add = useWrite("addAbsence");
  const [farriers, vets] = [usePeopleOf("farrier"), usePeopleOf("vet")];
  const today = useToday();
  const [draft, set] = useDraft(() => ({
    personId: isManager ? "" : session.person.id,
    fromOn: today,
    toOn: today,
    reason: "",
  }));
  return (
    <Dialog title={t("addAway")} isOpen onClose={onClose}>
      <Form
        problem={add.error}
        onSubmit={() => add.mutate({ body: draft }, { onSuccess: onClose })}
        footer={
          <>
            <Button type="submit" look="primary" isBusy={add.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        {isManager ? (
          <SelectField
            label={t("who")}
            name="personId"
            value={draft.personId}
            onChange={set("personId")}
            emptyLabel={t("common:chooseFirst")}
            options={[...farriers, ...vets].map((one) => ({ value: one.id, label: one.name }))}
          />
        ) : null}
        <div className="columns">
          <TextField
            label={t("firstDay")}
            name="fromOn"
            type="date"
            value={draft.fromOn}
            onChange={set("fromOn")}
          />
          <TextField
            label={t("lastDay")}
            name="toOn"
            type="date"
            min={draft.fromOn}
            value={draft.toOn}
            onChange={set("toOn")}
          />
        </div>
        <TextField
          label={t("reason")}
          name="reason"
          hint={t("reasonHint")}
          value={draft.reason}
          onChange={set("reason")}
        />
      </Form>
    </Dialog>
  );
};

/** Days off and sick days from today on. */
export const AwayTab = () => {
  const { t } = useTranslation("rota");
  const { session } = useCurrent();
  const format = useFormat();
  const [isManager, mayNote] = [useIsRole("manager"), useIsRole("manager", "farrier")];
  const absences = useAbsences();
  const withdraw = useWrite("withdrawAbsence");
  const [isAdding, setAdding] = useState(false);
  const add = mayNote ? (
    <Button icon={<Plus aria-hidden />} onClick={() => setAdding(true)}>
      {t("addAway")}
    </Button>
  ) : undefined;
  return (
    <div className="stack">
      {isAdding ? <AwayDialog onClose={() => setAdding(false)} /> : null}
      {withdraw.error === null ? null : <ErrorState error={withdraw.error} />}
      <QueryView query={absences}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<Sun aria-hidden />} title={t("noneAway")} action={add}>
              {t("awayText")}
            </EmptyState>
          ) : (
            <Card title={t("away")} actions={add} isFlush>
              <Rows
                label={t("away")}
                rows={items}
                keyOf={(one) => one.id}
                columns={[
                  {
                    key: "who",
                    label: t("who"),
                    hideLabelOnPhone: true,
                    cell: (one) => <strong>{one.person.name}</strong>,
                  },
                  {
                    key: "when",
                    label: t("when"),
                    hideLabelOnPhone: true,
                    cell: (one) =>
                      one.fromOn === one.toOn
                        ? format.shortDate(one.fromOn)
                        : `${format.shortDate(one.fromOn)} – ${format.shortDate(one.toOn)}`,
                  },
                  {
                    key: "reason",
                    label: t("reason"),
                    hideLabelOnPhone: true,
                    cell: (one) => (
                      <>
                        {one.reason}{" "}
                        <span className="quiet small">
                          {t("notedBy", { name: one.notedBy.name })}
                        </span>
                      </>
                    ),
                  },
                  {
                    key: "back",
                    label: "",
                    hideLabelOnPhone: true,
                    cell: (one) =>
                      isManager || one.person.id === session.person.id ? (
                        <Button
                          look="quiet"
                          isBusy={withdraw.isPending}
                          onClick={() =>
                            withdraw.mutate({
                              params: { absenceId: one.id },
                              ifMatch: one.version,
                            })
                          }
                        >
                          {t("back")}
                        </Button>
                      ) : null,
                  },
                ]}
              />
            </Card>
          )
        }
      </QueryView>
    </div>
  );
};
