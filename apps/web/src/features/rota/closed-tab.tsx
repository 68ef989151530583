import { DoorClosed } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { EmptyState, ErrorState, QueryView } from "../../components/states.tsx";
import { useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { useClosures, useToday } from "./queries.ts";

const AddClosed = () => {
  const { t } = useTranslation("rota");
  const add = useWrite("addClosure");
  const today = useToday();
  const first = { closedOn: "", reason: "" };
  const [draft, set, setDraft] = useDraft(first);
  return (
    <Card title={t("addClosed")}>
      <Form
        problem={add.error}
        onSubmit={() => add.mutate({ body: draft }, { onSuccess: () => setDraft(first) })}
        footer={
          <Button type="submit" look="primary" isBusy={add.isPending}>
            {t("addClosed")}
          </Button>
        }
      >
        <div className="columns">
          <TextField
            label={t("closedDay")}
            name="closedOn"
            type="date"
            min={today}
            required
            value={draft.closedOn}
            onChange={set("closedOn")}
          />
          <TextField
            label={t("reason")}
            name="reason"
            required
            value={draft.reason}
            onChange={set("reason")}
          />
        </div>
      </Form>
    </Card>
  );
};

/** Days on which the practice books nothing. */
export const ClosedTab = () => {
  const { t } = useTranslation("rota");
  const format = useFormat();
  const isManager = useIsRole("manager");
  const closures = useClosures();
  const open = useWrite("removeClosure");
  const today = useToday();
  return (
    <div className="stack">
      {isManager ? <AddClosed /> : null}
      {open.error === null ? null : <ErrorState error={open.error} />}
      <QueryView query={closures}>
        {({ items }) => {
          const ahead = items.filter((one) => one.closedOn >= today);
          return ahead.length === 0 ? (
            <EmptyState icon={<DoorClosed aria-hidden />} title={t("noneClosed")}>
              {t("closedText")}
            </EmptyState>
          ) : (
            <Card title={t("closed")} isFlush>
              <Rows
                label={t("closed")}
                rows={ahead}
                keyOf={(one) => one.closedOn}
                columns={[
                  {
                    key: "day",
                    label: t("closedDay"),
                    hideLabelOnPhone: true,
                    cell: (one) => <strong>{format.shortDate(one.closedOn)}</strong>,
                  },
                  {
                    key: "reason",
                    label: t("reason"),
                    hideLabelOnPhone: true,
                    cell: (one) => one.reason,
                  },
                  {
                    key: "open",
                    label: "",
                    hideLabelOnPhone: true,
                    cell: (one) =>
                      isManager ? (
                        <Button
                          look="quiet"
                          isBusy={open.isPending}
                          onClick={() => open.mutate({ params: { date: one.closedOn } })}
                        >
                          {t("open")}
                        </Button>
                      ) : null,
                  },
                ]}
              />
            </Card>
          );
        }}
      </QueryView>
    </div>
  );
};
