import type { Horse, MovementLadderView } from "@heelward/contracts";
import { Plus, Trash2 } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button, IconButton } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, NumberField, TextArea, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedNumber } from "../../components/use-draft.ts";
import { ReasonDialog } from "./reason-dialog.tsx";
import styles from "./metabolic.module.css";

interface StageDraft {
  readonly key: number;
  readonly name: string;
  readonly days: string;
  readonly stops: string;
}

let lastKey = 0;
const emptyStage = (): StageDraft => {
  lastKey += 1;
  return { key: lastKey, name: "", days: "7", stops: "" };
};

/** Starts the one ladder of a horse: the practice's own, or stages the vet writes for this animal. */
export const StartLadderDialog = ({
  horse,
  onClose,
}: {
  readonly horse: Horse;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["recovery", "common"]);
  const start = useWrite("startMovementLadder");
  const [kind, setKind] = useState<"standard" | "own">("standard");
  const [stages, setStages] = useState<readonly StageDraft[]>(() => [emptyStage(), emptyStage()]);
  const change = (key: number, next: Partial<StageDraft>) =>
    setStages(stages.map((one) => (one.key === key ? { ...one, ...next } : one)));
  return (
    <Dialog title={t("ladder.startTitle", { horse: horse.name })} isOpen isWide onClose={onClose}>
      <Form
        problem={start.error}
        onSubmit={() =>
          start.mutate(
            {
              params: { horseId: horse.id },
              body:
                kind === "standard"
                  ? {}
                  : {
                      stages: stages.map((stage) => ({
                        name: stage.name,
                        leastDays: typedNumber(stage.days) ?? Number.NaN,
                        stopRules: stage.stops
                          .split("\n")
                          .map((rule) => rule.trim())
                          .filter((rule) => rule !== ""),
                      })),
                    },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button type="submit" look="primary" isBusy={start.isPending}>
              {t("ladder.start")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("ladder.startText")}</p>
        <ChoiceField
          label={t("ladder.which")}
          value={kind}
          onChange={setKind}
          options={[
            { value: "standard", label: t("ladder.standard") },
            { value: "own", label: t("ladder.own") },
          ]}
        />
        {kind === "standard"
          ? null
          : stages.map((stage, index) => (
              <fieldset key={stage.key} className={styles["stageDraft"]}>
                <legend>{t("ladder.stage", { number: index + 1 })}</legend>
                <div className="columns">
                  <TextField
                    label={t("ladder.name")}
                    name={`stages/${String(index)}/name`}
                    value={stage.name}
                    onChange={(name) => change(stage.key, { name })}
                  />
                  <NumberField
                    label={t("ladder.least")}
                    name={`stages/${String(index)}/leastDays`}
                    unit={t("ladder.days")}
                    value={stage.days}
                    onChange={(days) => change(stage.key, { days })}
                  />
                </div>
                <TextArea
                  label={t("ladder.stops")}
                  name={`stages/${String(index)}/stopRules`}
                  hint={t("ladder.stopsHint")}
                  rows={2}
                  value={stage.stops}
                  onChange={(stops) => change(stage.key, { stops })}
                />
                {stages.length <= 2 ? null : (
                  <div>
                    <IconButton
                      label={t("ladder.removeStage", { number: index + 1 })}
                      icon={<Trash2 aria-hidden />}
                      onClick={() => setStages(stages.filter((one) => one.key !== stage.key))}
                    />
                  </div>
                )}
              </fieldset>
            ))}
        {kind === "standard" ? null : (
          <div>
            <Button
              icon={<Plus aria-hidden />}
              onClick={() => setStages([...stages, emptyStage()])}
            >
              {t("ladder.addStage")}
            </Button>
          </div>
        )}
      </Form>
    </Dialog>
  );
};

/** One stage up, back, or out, with its reason. */
export const MoveDialog = ({
  ladder,
  move,
  onClose,
}: {
  readonly ladder: MovementLadderView;
  readonly move: "up" | "back" | "end";
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation("recovery");
  const write = useWrite("moveOnLadder");
  const to = ladder.stages[ladder.stageIndex + (move === "up" ? 1 : -1)];
  return (
    <ReasonDialog
      title={t(`ladder.${move}`)}
      text={
        move === "end"
          ? t("ladder.endMeans")
          : to === undefined
            ? t("ladder.stays")
            : t("ladder.to", { stage: to.name })
      }
      label={t(`ladder.${move}`)}
      problem={write.error}
      isBusy={write.isPending}
      onClose={onClose}
      onReason={(reason) =>
        write.mutate(
          { params: { ladderId: ladder.id }, ifMatch: ladder.version, body: { move, reason } },
          { onSuccess: onClose },
        )
      }
    />
  );
};
