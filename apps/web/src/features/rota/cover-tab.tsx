import { useMutation } from "@tanstack/react-query";
import { TriangleAlert, UserRoundCheck } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../../api/client.ts";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { SelectField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { Link } from "../../components/link.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { type CoverMove, useToday } from "./queries.ts";
import styles from "./rota.module.css";

type Asked = Body<"previewCover">;

/** What the one who covers cannot do alone; null when another was chosen than the service proposed. */
const lacksOf = (move: CoverMove, to: string): readonly string[] =>
  to !== "" && to === move.to?.id ? move.lacks : [];

const Moves = ({
  asked,
  moves,
  onDone,
}: {
  readonly asked: Asked;
  readonly moves: readonly CoverMove[];
  readonly onDone: () => void;
}) => {
  const { t } = useTranslation(["rota", "common"]);
  const format = useFormat();
  const isManager = useIsRole("manager");
  const farriers = usePeopleOf("farrier").filter((one) => one.id !== asked.farrierId);
  const apply = useWrite("applyCover");
  const [reason, setReason] = useState("");
  const [takes, setTakes] = useState<Readonly<Record<string, string>>>(() =>
    Object.fromEntries(moves.map((move) => [move.resetId, move.to?.id ?? ""])),
  );
  const wanted = moves.filter((move) => (takes[move.resetId] ?? "") !== "");
  if (apply.data !== undefined)
    return (
      <Card
        title={t("moved")}
        actions={
          <Button look="quiet" onClick={onDone}>
            {t("common:close")}
          </Button>
        }
      >
        <ul className={styles["outcomes"]} aria-live="polite">
          {apply.data.results.map((one) => (
            <li key={one.resetId}>
              <Badge tone={one.outcome === "moved" ? "fine" : "today"}>
                {t(`outcomes.${one.outcome}`)}
              </Badge>
              <span>
                {moves.find((move) => move.resetId === one.resetId)?.horse.name}: {one.detail}
              </span>
            </li>
          ))}
        </ul>
      </Card>
    );
  return (
    <Card title={t("moves", { count: moves.length })} isFlush>
      <Rows
        label={t("moves", { count: moves.length })}
        rows={moves}
        keyOf={(move) => move.resetId}
        columns={[
          {
            key: "horse",
            label: t("horse"),
            hideLabelOnPhone: true,
            cell: (move) => (
              <>
                <Link href={`/resets/${move.resetId}`}>
                  <strong>{move.horse.name}</strong>
                </Link>
                <div className="quiet small">
                  {move.yard.name}
                  {move.prescriptionId === null ? null : (
                    <>
                      {" · "}
                      <Link href={`/prescriptions/${move.prescriptionId}`}>{t("withPlan")}</Link>
                    </>
                  )}
                </div>
              </>
            ),
          },
          {
            key: "when",
            label: t("when"),
            hideLabelOnPhone: true,
            cell: (move) => (
              <>
                {t(move.isBooked ? "bookedOn" : "dueOn", { date: format.shortDate(move.on) })}
                <div className="quiet small">
                  {t(`states.${move.state as "due"}`, { defaultValue: move.state })}
                </div>
              </>
            ),
          },
          {
            key: "takes",
            label: t("takes"),
            hideLabelOnPhone: true,
            cell: (move) => (
              <div className="stack-tight">
                <SelectField
                  label={<span className="only-read">{`${t("takes")}: ${move.horse.name}`}</span>}
                  value={takes[move.resetId] ?? ""}
                  onChange={(to) => setTakes({ ...takes, [move.resetId]: to })}
                  emptyLabel={move.to === null ? t("nobody") : t("leave")}
                  options={farriers.map((one) => ({ value: one.id, label: one.name }))}
                />
                {lacksOf(move, takes[move.resetId] ?? "").length === 0 ? null : (
                  <div>
                    <Badge tone="today" icon={<TriangleAlert aria-hidden />}>
                      {t("lacks", {
                        skills: format.list(lacksOf(move, takes[move.resetId] ?? "")),
                      })}
                    </Badge>
                  </div>
                )}
              </div>
            ),
          },
        ]}
      />
      <div className={styles["apply"]}>
        {isManager ? (
          <Form
            problem={apply.error}
            onSubmit={() =>
              apply.mutate({
                body: {
                  ...asked,
                  reason,
                  moves: wanted.map((move) => ({
                    resetId: move.resetId,
                    toFarrierId: takes[move.resetId] ?? "",
                    resetVersion: move.resetVersion,
                  })),
                },
              })
            }
            footer={
              <Button
                type="submit"
                look="primary"
                icon={<UserRoundCheck aria-hidden />}
                isBusy={apply.isPending}
                disabled={typedText(reason) === undefined}
              >
                {t("apply")}
              </Button>
            }
          >
            <TextField
              label={t("reason")}
              name="reason"
              hint={t("reasonHint")}
              value={reason}
              onChange={setReason}
            />
          </Form>
        ) : (
          <p className="quiet">{t("onlyManager")}</p>
        )}
      </div>
    </Card>
  );
};

/** A farrier is away: who takes the resets of those days, with their plans, and what is lacking. */
export const CoverTab = () => {
  const { t } = useTranslation(["rota", "common"]);
  const farriers = usePeopleOf("farrier");
  const today = useToday();
  const preview = useMutation({
    mutationFn: (body: Asked) => call("previewCover", { body }),
  });
  const [draft, set] = useDraft({ farrierId: "", fromOn: today, toOn: today });
  return (
    <div className="stack">
      <Card>
        <Form
          problem={preview.error}
          onSubmit={() => preview.mutate(draft)}
          footer={
            <Button
              type="submit"
              look="primary"
              isBusy={preview.isPending}
              disabled={draft.farrierId === ""}
            >
              {t("see")}
            </Button>
          }
        >
          <p className="quiet">{t("coverText")}</p>
          <div className="columns">
            <SelectField
              label={t("farrier")}
              name="farrierId"
              value={draft.farrierId}
              onChange={set("farrierId")}
              emptyLabel={t("common:chooseFirst")}
              options={farriers.map((one) => ({ value: one.id, label: one.name }))}
            />
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
        </Form>
      </Card>
      {preview.data === undefined ? null : preview.data.moves.length === 0 ? (
        <p>{t("noMoves")}</p>
      ) : (
        <Moves
          key={preview.submittedAt}
          asked={preview.variables}
          moves={preview.data.moves}
          onDone={preview.reset}
        />
      )}
    </div>
  );
};
