import type { CourseView, Horse } from "@heelward/contracts";
import { OctagonX } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { ProblemError } from "../../api/problem-error.ts";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import {
  CheckField,
  NumberField,
  SelectField,
  TextArea,
  TextField,
} from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { ReasonFields, useReasons, warningsOf } from "./overrides.tsx";
import { useRate } from "./plan-view.tsx";
import { useFormulary } from "./queries.ts";
import styles from "./medication.module.css";

interface Props {
  readonly horse: Horse;
  readonly courses: readonly CourseView[];
  readonly onClose: () => void;
}

interface Choice {
  readonly value: string;
  readonly label: string;
}

/** Medicines to choose from: the formulary, or for a carer what this horse has courses of. */
const useDrugChoices = (courses: readonly CourseView[]): readonly Choice[] => {
  const mayReadAll = useIsRole("vet", "manager");
  const formulary = useFormulary(mayReadAll);
  if (mayReadAll)
    return (formulary.data?.drugs ?? []).map((drug) => ({ value: drug.key, label: drug.name }));
  const found = new Map(courses.map((course) => [course.drugKey, course.drugName]));
  return [...found].map(([value, label]) => ({ value, label }));
};

/** A wish for more medicine: the arithmetic is shown and kept, and nothing is changed. */
export const AskDialog = ({ horse, courses, onClose }: Props) => {
  const { t } = useTranslation(["medication", "common"]);
  const format = useFormat();
  const rate = useRate();
  const { session } = useCurrent();
  const ask = useWrite("requestDose");
  const choices = useDrugChoices(courses);
  const [draft, set] = useDraft({
    drugKey: courses.find((one) => one.status === "signed")?.drugKey ?? "",
    doseMg: "",
    timesPerDay: "1",
    askedBy: session.person.name,
    words: "",
  });
  const words = typedText(draft.words);
  const answer = ask.data;
  return (
    <Dialog title={t("askTitle", { horse: horse.name })} isOpen onClose={onClose}>
      {answer === undefined ? (
        <Form
          problem={ask.error}
          onSubmit={() =>
            ask.mutate({
              params: { horseId: horse.id },
              body: {
                drugKey: draft.drugKey,
                doseMg: typedNumber(draft.doseMg) ?? Number.NaN,
                timesPerDay: typedNumber(draft.timesPerDay) ?? Number.NaN,
                askedBy: draft.askedBy,
                ...(words === undefined ? {} : { words }),
              },
            })
          }
          footer={
            <>
              <Button type="submit" look="primary" isBusy={ask.isPending}>
                {t("askButton")}
              </Button>
              <Button look="quiet" onClick={onClose}>
                {t("common:cancel")}
              </Button>
            </>
          }
        >
          <p className="quiet">{t("askLead")}</p>
          {choices.length === 0 ? <p>{t("askNone")}</p> : null}
          <SelectField
            label={t("drug")}
            name="drugKey"
            value={draft.drugKey}
            onChange={set("drugKey")}
            emptyLabel={t("common:chooseFirst")}
            options={choices}
          />
          <div className="columns">
            <NumberField
              label={t("askDose")}
              name="doseMg"
              unit="mg"
              value={draft.doseMg}
              onChange={set("doseMg")}
            />
            <NumberField
              label={t("askTimes")}
              name="timesPerDay"
              value={draft.timesPerDay}
              onChange={set("timesPerDay")}
            />
          </div>
          <TextField
            label={t("askedBy")}
            name="askedBy"
            value={draft.askedBy}
            onChange={set("askedBy")}
          />
          <TextArea
            label={t("askWords")}
            name="words"
            isOptional
            rows={2}
            value={draft.words}
            onChange={set("words")}
          />
        </Form>
      ) : (
        <div className={styles["answer"]}>
          <div>
            <Badge tone={answer.refused ? "now" : "soon"} icon={<OctagonX aria-hidden />}>
              {t(answer.refused ? "refusedTitle" : "keptTitle")}
            </Badge>
          </div>
          {answer.mgPerKgPerDay === null ? null : (
            <p className={styles["sum"]}>
              {t("arithmetic", {
                dose: format.number(typedNumber(draft.doseMg) ?? 0, 0),
                times: draft.timesPerDay,
                rate: rate(answer.mgPerKgPerDay).replace(/ mg\/kg$/, ""),
              })}
              {answer.percentOfLimit === null
                ? null
                : `: ${t("percent", { percent: format.number(answer.percentOfLimit, 0) })}`}
            </p>
          )}
          <Findings findings={answer.findings} />
          <p>{t("notADose")}</p>
          <div className="row">
            <Button look="primary" onClick={onClose}>
              {t("common:close")}
            </Button>
          </div>
        </div>
      )}
    </Dialog>
  );
};

/** A dose a vet gave outside a course. */
export const SingleDoseDialog = ({ horse, courses, onClose }: Props) => {
  const { t } = useTranslation(["medication", "common"]);
  const record = useWrite("recordSingleDose");
  const choices = useDrugChoices(courses);
  const formulary = useFormulary();
  const reasons = useReasons();
  const [draft, set] = useDraft(() => ({
    drugKey: "",
    route: "" as Body<"recordSingleDose">["route"] | "",
    doseMg: "",
    givenAt: nowIn(horse.yard.timeZone),
    reason: "",
    batch: "",
    isInside: false,
  }));
  const batch = typedText(draft.batch);
  const [warned, setWarned] = useState<readonly ProblemError["findings"][number][]>([]);
  const reason = typedText(draft.reason);
  const drug = formulary.data?.drugs.find((one) => one.key === draft.drugKey);
  const routes = [...new Set((drug?.presentations ?? []).flatMap((one) => one.routes))];
  return (
    <Dialog title={t("singleTitle")} isOpen onClose={onClose}>
      <Form
        problem={record.error}
        onSubmit={() =>
          record.mutate(
            {
              params: { horseId: horse.id },
              body: {
                drugKey: draft.drugKey,
                route: draft.route as Body<"recordSingleDose">["route"],
                doseMg: typedNumber(draft.doseMg) ?? Number.NaN,
                givenAt: draft.givenAt,
                overrides: reasons.overridesFor(warningsOf(warned)),
                alreadyGiven: draft.isInside,
                ...(batch === undefined ? {} : { batch }),
                ...(reason === undefined ? {} : { reason }),
              },
            },
            {
              onSuccess: onClose,
              onError: (error) => setWarned(error instanceof ProblemError ? error.findings : []),
            },
          )
        }
        footer={
          <>
            <Button type="submit" look="primary" isBusy={record.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p className="quiet">{t("singleLead")}</p>
        <SelectField
          label={t("drug")}
          name="drugKey"
          value={draft.drugKey}
          onChange={set("drugKey")}
          emptyLabel={t("common:chooseFirst")}
          options={choices}
        />
        <div className="columns">
          <SelectField
            label={t("route")}
            name="route"
            value={draft.route}
            onChange={set("route")}
            emptyLabel={t("common:chooseFirst")}
            options={routes.map((one) => ({ value: one, label: t(`routes.${one}`) }))}
          />
          <NumberField
            label={t("doseMg")}
            name="doseMg"
            unit="mg"
            value={draft.doseMg}
            onChange={set("doseMg")}
          />
        </div>
        <MomentField
          label={t("givenAt")}
          name="givenAt"
          timeZone={horse.yard.timeZone}
          value={draft.givenAt}
          onChange={set("givenAt")}
        />
        <TextArea
          label={t("why")}
          name="reason"
          isOptional
          rows={2}
          value={draft.reason}
          onChange={set("reason")}
        />
        <TextField
          label={t("batch")}
          name="batch"
          isOptional
          value={draft.batch}
          onChange={set("batch")}
        />
        <ReasonFields findings={warned} reasons={reasons} />
        {warned.some((one) => one.outcome === "block") ? (
          <CheckField
            label={t("alreadyGiven")}
            name="alreadyGiven"
            value={draft.isInside}
            onChange={set("isInside")}
          />
        ) : null}
      </Form>
    </Dialog>
  );
};
