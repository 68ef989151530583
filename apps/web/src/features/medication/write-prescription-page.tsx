import type { CourseView } from "@heelward/contracts";
import { CircleAlert, CircleCheck, FileSignature } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useGo, useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { classNames } from "../../components/class-names.ts";
import {
  CheckField,
  NumberField,
  SelectField,
  TextArea,
  TextField,
} from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { Form } from "../../components/form.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { PostalAddress } from "./postal-address.tsx";
import { useCourse, usePostalAddress, usePrescriptionCheck } from "./queries.ts";
import { useRested } from "./use-rested.ts";
import styles from "./medication.module.css";

type Input = Body<"judgeWrittenPrescription">;

const TEXTS = [
  "prescriberAddress",
  "prescriberQualifications",
  "keeperName",
  "keeperAddress",
  "keeperContact",
  "premises",
  "warnings",
  "cascadeReason",
] as const;
const SCHEDULES = ["schedule 2", "schedule 3", "schedule 4"] as const;

const Writing = ({ course }: { readonly course: CourseView }) => {
  const { t } = useTranslation(["medication", "common"]);
  const format = useFormat(course.timeZone);
  const go = useGo();
  const issue = useWrite("issueWrittenPrescription");
  const [draft, set] = useDraft({
    prescriberAddress: "",
    prescriberQualifications: "",
    keeperName: "",
    keeperAddress: "",
    keeperContact: "",
    premises: "",
    warnings: "",
    cascadeReason: "",
    declaresUnderCare: false,
    controlled: "" as (typeof SCHEDULES)[number] | "",
    antimicrobial: false,
    repeats: "0",
    validDays: "",
  });
  const validDays = typedNumber(draft.validDays);
  const input: Input = {
    ...Object.fromEntries(
      TEXTS.flatMap((name) => {
        const text = typedText(draft[name]);
        return text === undefined ? [] : [[name, text]];
      }),
    ),
    declaresUnderCare: draft.declaresUnderCare,
    ...(draft.controlled === "" ? {} : { controlled: draft.controlled }),
    antimicrobial: draft.antimicrobial,
    repeats: typedNumber(draft.repeats) ?? Number.NaN,
    ...(validDays === undefined ? {} : { validDays }),
  };
  const address = usePostalAddress();
  const asked = useRested(JSON.stringify(input));
  const check = usePrescriptionCheck(
    course.id,
    JSON.parse(asked) as Input,
    address.data?.postalAddress,
  );
  const missing = new Set(check.data?.missing);
  const isReady =
    check.data !== undefined &&
    missing.size === 0 &&
    check.data.findings.every((one) => one.outcome !== "block");
  return (
    <div className={styles["builder"]}>
      <div className={styles["builderMain"]}>
        {/* Outside the form: its dialog has a form of its own. */}
        <Card title={t("written.practiceAddress")}>
          <PostalAddress />
        </Card>
        <Form
          problem={issue.error}
          onSubmit={() =>
            issue.mutate(
              { params: { courseId: course.id }, body: input },
              { onSuccess: (made) => go(`/written-prescriptions/${made.id}`) },
            )
          }
          footer={
            <>
              <Button
                type="submit"
                look="primary"
                icon={<FileSignature aria-hidden />}
                disabled={!isReady}
                isBusy={issue.isPending}
              >
                {t("written.sign")}
              </Button>
              <ButtonLink href={`/courses/${course.id}`} look="quiet">
                {t("common:cancel")}
              </ButtonLink>
            </>
          }
        >
          <Card title={t("written.prescriber")}>
            <div className="stack">
              <div className="columns">
                <TextField
                  label={t("written.otherAddress")}
                  name="prescriberAddress"
                  isOptional
                  value={draft.prescriberAddress}
                  onChange={set("prescriberAddress")}
                />
                <TextField
                  label={t("written.qualifications")}
                  name="prescriberQualifications"
                  isOptional
                  hint={t("written.asLast")}
                  value={draft.prescriberQualifications}
                  onChange={set("prescriberQualifications")}
                />
              </div>
            </div>
          </Card>
          <Card title={t("written.keeper")}>
            <div className="stack">
              <p className="quiet small">{t("written.keeperHint")}</p>
              <div className="columns">
                <TextField
                  label={t("written.keeperName")}
                  name="keeperName"
                  isOptional
                  value={draft.keeperName}
                  onChange={set("keeperName")}
                />
                <TextField
                  label={t("written.keeperContact")}
                  name="keeperContact"
                  isOptional
                  value={draft.keeperContact}
                  onChange={set("keeperContact")}
                />
              </div>
              <TextField
                label={t("written.keeperAddress")}
                name="keeperAddress"
                isOptional
                value={draft.keeperAddress}
                onChange={set("keeperAddress")}
              />
              <TextField
                label={t("written.premises")}
                name="premises"
                isOptional
                hint={t("written.premisesHint")}
                value={draft.premises}
                onChange={set("premises")}
              />
            </div>
          </Card>
          <Card title={t("written.medicine")}>
            <div className="stack">
              <div className="columns">
                <NumberField
                  label={t("written.repeats")}
                  name="repeats"
                  value={draft.repeats}
                  onChange={set("repeats")}
                />
                <NumberField
                  label={t("written.validDays")}
                  name="validDays"
                  unit={t("written.days")}
                  isOptional
                  hint={t("written.validHint")}
                  value={draft.validDays}
                  onChange={set("validDays")}
                />
                <SelectField
                  label={t("written.controlled")}
                  name="controlled"
                  value={draft.controlled}
                  onChange={set("controlled")}
                  emptyLabel={t("written.notControlled")}
                  options={SCHEDULES.map((value) => ({
                    value,
                    label: t(`written.schedules.${value}`),
                  }))}
                />
              </div>
              <CheckField
                label={t("written.antimicrobial")}
                name="antimicrobial"
                value={draft.antimicrobial}
                onChange={set("antimicrobial")}
              />
              <CheckField
                label={t("written.underCare")}
                name="declaresUnderCare"
                value={draft.declaresUnderCare}
                onChange={set("declaresUnderCare")}
              />
              <TextArea
                label={t("written.warnings")}
                name="warnings"
                isOptional
                rows={2}
                hint={t("written.warningsHint")}
                value={draft.warnings}
                onChange={set("warnings")}
              />
              <TextArea
                label={t("written.cascade")}
                name="cascadeReason"
                isOptional={check.data?.kind.offLabel !== true}
                rows={2}
                value={draft.cascadeReason}
                onChange={set("cascadeReason")}
              />
            </div>
          </Card>
        </Form>
      </div>
      {/* It scrolls by itself, so a keyboard must reach it. */}
      <section
        className={styles["builderSide"]}
        aria-label={t("written.fields")}
        // oxlint-disable-next-line no-noninteractive-tabindex
        tabIndex={0}
      >
        <Card title={t("written.asLaw")}>
          <QueryView query={check}>
            {(data) => (
              <div className="stack">
                <p className={classNames(styles["verdict"], styles[isReady ? "fine" : "block"])}>
                  {isReady ? <CircleCheck aria-hidden /> : <CircleAlert aria-hidden />}
                  {isReady
                    ? t("written.complete", { date: format.date(data.lastOn) })
                    : t("written.missing", { count: data.missing.length })}
                </p>
                <Findings findings={data.findings} hidePasses />
                <dl className={styles["fields"]}>
                  {data.fields
                    .filter((one) => one.required || one.text !== null)
                    .map((one) => (
                      <div
                        key={one.field}
                        className={missing.has(one.field) ? styles["fieldMissing"] : undefined}
                      >
                        <dt>{one.label}</dt>
                        <dd>
                          {one.text ?? (
                            <>
                              <CircleAlert aria-hidden /> {t("written.isMissing")}
                            </>
                          )}
                        </dd>
                      </div>
                    ))}
                </dl>
              </div>
            )}
          </QueryView>
        </Card>
      </section>
    </div>
  );
};

/** A written prescription for a signed course: every field the law asks for, filled or named as missing. */
export const WritePrescriptionPage = () => {
  const { t } = useTranslation("medication");
  const course = useCourse(useParam("courseId"));
  return (
    <QueryView query={course} lines={8}>
      {(data) => (
        <>
          <PageHeader
            title={t("written.writeTitle", { drug: data.drugName })}
            back={{ href: `/courses/${data.id}`, label: data.drugName }}
            lead={t("written.writeLead", { horse: data.horse.name })}
          />
          <Writing course={data} />
        </>
      )}
    </QueryView>
  );
};
