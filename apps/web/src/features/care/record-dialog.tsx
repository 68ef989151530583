import type { CareDay, DoseRecord } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { ProblemError } from "../../api/problem-error.ts";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { CheckField, ChoiceField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { nowIn } from "../../language/wall-clock.ts";

export type Outcome = DoseRecord["outcome"];

/** When it was, and for anything but "given" why: large choices first, own words after. */
export const RecordDialog = ({
  dose,
  outcome,
  refusal,
  onClose,
}: {
  readonly dose: CareDay["doses"][number];
  readonly outcome: Outcome;
  /** Why a first try was refused, when there was one. */
  readonly refusal?: Error | null;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["care", "common"]);
  const { session } = useCurrent();
  const record = useWrite("recordDose");
  const [openedAt] = useState(() => nowIn(session.practice.timeZone));
  const [draft, set] = useDraft(() => ({
    givenAt: openedAt,
    chosen: "",
    words: "",
    isInside: false,
  }));
  const problem = record.error ?? refusal ?? null;
  const isRefused = problem instanceof ProblemError && problem.slug === "rule-violated";
  const isGiven = outcome === "given";
  const reason = typedText([draft.chosen, draft.words].filter((one) => one !== "").join(". "));
  const reasons = isGiven
    ? []
    : (t(`reasons.${outcome}`, { returnObjects: true }) as readonly string[]);
  return (
    <Dialog
      title={t("recordTitle", {
        horse: dose.horse.name,
        measure: dose.measure,
        drug: dose.drugName,
      })}
      isOpen
      onClose={onClose}
    >
      <Form
        problem={problem}
        onSubmit={() =>
          record.mutate(
            {
              params: { courseId: dose.courseId },
              body: {
                scheduledAt: dose.scheduledAt,
                // The field knows minutes; untouched it means now, to the second.
                givenAt: draft.givenAt === openedAt ? new Date().toISOString() : draft.givenAt,
                outcome,
                alreadyGiven: draft.isInside,
                ...(reason === undefined ? {} : { reason }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button
              type="submit"
              look="primary"
              size="large"
              isBusy={record.isPending}
              disabled={isGiven && isRefused && !draft.isInside}
            >
              {isGiven ? t("asGiven") : t("write")}
            </Button>
            <Button look="quiet" size="large" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        {isGiven ? null : (
          <>
            <ChoiceField
              label={t("why")}
              name="reason"
              value={draft.chosen}
              onChange={set("chosen")}
              options={reasons.map((one) => ({ value: one, label: one }))}
            />
            <TextField label={t("orSay")} isOptional value={draft.words} onChange={set("words")} />
            <p>{t(outcome === "spat out" ? "spatCaution" : "missedCaution")}</p>
            {outcome === "refused" ? <p>{t("offFoodCaution")}</p> : null}
          </>
        )}
        {isGiven && isRefused ? (
          <>
            <CheckField
              label={t("alreadyGiven")}
              hint={t("alreadyHint")}
              value={draft.isInside}
              onChange={set("isInside")}
            />
            {draft.isInside ? (
              <TextField
                label={t("whyGiven")}
                name="reason"
                value={draft.words}
                onChange={set("words")}
              />
            ) : null}
          </>
        ) : null}
        <MomentField
          label={t(isGiven ? "whenGiven" : "whenNot")}
          name="givenAt"
          timeZone={session.practice.timeZone}
          value={draft.givenAt}
          onChange={set("givenAt")}
        />
      </Form>
    </Dialog>
  );
};
