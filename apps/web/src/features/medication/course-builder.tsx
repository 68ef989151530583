import type { CourseView, Horse } from "@heelward/contracts";
import type { Drug } from "@heelward/domain/medication";
import { BookOpenText, Plus } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useGo } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import {
  CheckField,
  NumberField,
  SelectField,
  TextArea,
  TextField,
} from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { todayIn, useFormat } from "../../language/format.ts";
import { CheckPanel, Verdict } from "./check-panel.tsx";
import { contentOf, draftOf, emptyDraft, labelSteps, nextStep } from "./course-draft.ts";
import { DoseCalendar } from "./dose-calendar.tsx";
import { planOf, useCourseCheck } from "./queries.ts";
import { StepFields } from "./step-fields.tsx";
import { useRested } from "./use-rested.ts";
import styles from "./medication.module.css";

interface Formulary {
  readonly jurisdiction: string;
  readonly drugs: readonly Drug[];
}

/** Builds a course step by step and shows at every change what the rules say of it. */
export const CourseBuilder = ({
  horse,
  formulary,
  course,
}: {
  readonly horse: Horse;
  readonly formulary: Formulary;
  readonly course?: CourseView;
}) => {
  const { t } = useTranslation(["medication", "common"]);
  const format = useFormat(horse.yard.timeZone);
  const go = useGo();
  const draftCourse = useWrite("draftCourse");
  const changeCourse = useWrite("changeCourse");
  const [draft, set, setDraft] = useDraft(() => {
    const today = todayIn(horse.yard.timeZone);
    if (course === undefined) return emptyDraft(today);
    const drug = formulary.drugs.find((one) => one.key === course.drugKey);
    return draftOf(
      course,
      drug === undefined
        ? undefined
        : drug.presentations.find((one) => one.key === course.presentationKey),
      today,
    );
  });
  const drug = formulary.drugs.find((one) => one.key === draft.drugKey);
  const presentations = (drug?.presentations ?? []).filter((one) =>
    one.jurisdictions.some((where) => where === formulary.jurisdiction),
  );
  const presentation = presentations.find((one) => one.key === draft.presentationKey);
  const content = contentOf(draft, presentation);
  const asked = useRested(content === undefined ? "" : JSON.stringify(content));
  const check = useCourseCheck(
    horse.id,
    asked === "" ? undefined : (JSON.parse(asked) as Body<"judgeCourseDraft">),
  );
  const plan = planOf(check.data?.plan);
  const fromLabel =
    drug === undefined || presentation === undefined
      ? []
      : labelSteps(drug, presentation, horse, formulary.jurisdiction);
  const weightKg = horse.latestWeighing?.weightKg;
  const choosePresentation = (key: string) => {
    const chosen = presentations.find((one) => one.key === key);
    setDraft({ ...draft, presentationKey: key, route: chosen?.routes[0] ?? "" });
  };
  const chooseDrug = (key: string) =>
    setDraft({ ...draft, drugKey: key, presentationKey: "", route: "", steps: [nextStep()] });
  const save = () => {
    if (content === undefined) return;
    const onSuccess = (saved: CourseView) => go(`/courses/${saved.id}`);
    if (course !== undefined) {
      changeCourse.mutate(
        { params: { courseId: course.id }, ifMatch: course.version, body: content },
        { onSuccess },
      );
      return;
    }
    const reason = typedText(draft.reason);
    draftCourse.mutate(
      {
        params: { horseId: horse.id },
        body: { ...content, ...(reason === undefined ? {} : { reason }) },
      },
      { onSuccess },
    );
  };
  const back = course === undefined ? `/medication/${horse.id}` : `/courses/${course.id}`;
  return (
    <div className={styles["builder"]}>
      <div className={styles["builderMain"]}>
        <Form
          problem={draftCourse.error ?? changeCourse.error}
          onSubmit={save}
          footer={
            <>
              {content === undefined || check.data === undefined ? null : (
                <div className={styles["verdictHere"]}>
                  <Verdict findings={check.data.findings} />
                </div>
              )}
              <Button
                type="submit"
                look="primary"
                disabled={content === undefined}
                isBusy={draftCourse.isPending || changeCourse.isPending}
              >
                {t("saveDraft")}
              </Button>
              <ButtonLink href={back} look="quiet">
                {t("common:cancel")}
              </ButtonLink>
              <span className="quiet small">{t("saveNote")}</span>
            </>
          }
        >
          <Card title={t("drug")}>
            <div className="stack">
              <div className="columns">
                <SelectField
                  label={t("drug")}
                  name="drugKey"
                  value={draft.drugKey}
                  onChange={chooseDrug}
                  emptyLabel={t("common:chooseFirst")}
                  hint={t("since", { jurisdiction: formulary.jurisdiction })}
                  options={formulary.drugs.map((one) => ({ value: one.key, label: one.name }))}
                />
                <SelectField
                  label={t("presentation")}
                  name="presentationKey"
                  value={draft.presentationKey}
                  onChange={choosePresentation}
                  emptyLabel={t("common:chooseFirst")}
                  disabled={drug === undefined}
                  options={presentations.map((one) => ({ value: one.key, label: one.name }))}
                />
                <SelectField
                  label={t("route")}
                  name="route"
                  value={draft.route}
                  onChange={set("route")}
                  emptyLabel={t("common:chooseFirst")}
                  disabled={presentation === undefined}
                  options={(presentation?.routes ?? []).map((one) => ({
                    value: one,
                    label: t(`routes.${one}`),
                  }))}
                />
                <TextField
                  label={t("startOn")}
                  name="startOn"
                  type="date"
                  value={draft.startOn}
                  onChange={set("startOn")}
                />
              </div>
              {drug === undefined || drug.cautions.length === 0 ? null : (
                <ul className="small">
                  {drug.cautions.map((caution) => (
                    <li key={caution}>{caution}</li>
                  ))}
                </ul>
              )}
            </div>
          </Card>
          {drug === undefined || presentation === undefined ? null : (
            <Card
              title={t("steps")}
              actions={
                fromLabel.length === 0 ? undefined : (
                  <Button
                    look="quiet"
                    icon={<BookOpenText aria-hidden />}
                    onClick={() => setDraft({ ...draft, steps: fromLabel })}
                  >
                    {t("fromLabel")}
                  </Button>
                )
              }
            >
              <div className="stack">
                {weightKg === undefined ? (
                  <p>{t("noWeight")}</p>
                ) : fromLabel.length === 0 ? null : (
                  <p className="quiet small">
                    {t("fromLabelNote", { kg: format.number(weightKg, 0) })}
                  </p>
                )}
                {draft.steps.map((step, index) => (
                  <StepFields
                    key={step.key}
                    step={step}
                    index={index}
                    drug={drug}
                    presentation={presentation}
                    weightKg={weightKg}
                    onChange={(next) =>
                      setDraft({
                        ...draft,
                        steps: draft.steps.map((one) => (one.key === step.key ? next : one)),
                      })
                    }
                    onRemove={
                      draft.steps.length === 1
                        ? undefined
                        : () =>
                            setDraft({
                              ...draft,
                              steps: draft.steps.filter((one) => one.key !== step.key),
                            })
                    }
                  />
                ))}
                <div>
                  <Button
                    icon={<Plus aria-hidden />}
                    onClick={() =>
                      setDraft({ ...draft, steps: [...draft.steps, nextStep(draft.steps.at(-1))] })
                    }
                  >
                    {t("addStep")}
                  </Button>
                </div>
              </div>
            </Card>
          )}
          {plan === undefined ? null : (
            <Card title={t("calendar")}>
              <DoseCalendar plan={plan} />
            </Card>
          )}
          <Card>
            <div className="stack">
              <div className="columns">
                <TextField
                  label={t("reviewOn")}
                  name="reviewOn"
                  type="date"
                  isOptional
                  value={draft.reviewOn}
                  onChange={set("reviewOn")}
                />
                <NumberField
                  label={t("continuesFromDay")}
                  name="continuesFromDay"
                  isOptional
                  hint={t("continues")}
                  value={draft.continuesFromDay}
                  onChange={set("continuesFromDay")}
                />
              </div>
              {drug?.classes.includes("SGLT2 inhibitor") === true || draft.recheckOn !== "" ? (
                <TextField
                  label={t("recheckOn")}
                  name="recheckOn"
                  type="date"
                  hint={t("recheckHint")}
                  value={draft.recheckOn}
                  onChange={set("recheckOn")}
                />
              ) : null}
              {horse.type === "donkey" ? (
                <CheckField
                  label={t("vetSets")}
                  name="vetSetsSchedule"
                  value={draft.vetSetsSchedule}
                  onChange={set("vetSetsSchedule")}
                />
              ) : null}
              <CheckField
                label={t("hydration")}
                name="hydrationRecorded"
                value={draft.hydrationRecorded}
                onChange={set("hydrationRecorded")}
              />
              <CheckField
                label={t("restarts")}
                name="restartsSeries"
                value={draft.restartsSeries}
                onChange={set("restartsSeries")}
              />
              <TextArea
                label={t("instructions")}
                name="instructions"
                isOptional
                rows={2}
                hint={t("instructionsHint")}
                value={draft.instructions}
                onChange={set("instructions")}
              />
              {course === undefined ? (
                <TextArea
                  label={t("reason")}
                  name="reason"
                  isOptional
                  rows={2}
                  value={draft.reason}
                  onChange={set("reason")}
                />
              ) : null}
            </div>
          </Card>
        </Form>
      </div>
      <div className={styles["builderSide"]}>
        <CheckPanel
          check={content === undefined ? undefined : check.data}
          error={content === undefined ? null : check.error}
          isBusy={check.isFetching}
        />
      </div>
    </div>
  );
};
