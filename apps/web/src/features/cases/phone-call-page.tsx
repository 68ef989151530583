import { keepPreviousData, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { TextArea, TextField } from "../../components/field.tsx";
import { FeetPicker, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import type { Choice } from "../../components/picker.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { useTimeZone } from "../../language/time-zone.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { HorsePicker } from "../../parts/horse-picker.tsx";
import { type CallAnswers, CallQuestions } from "./call-questions.tsx";
import { CallResult } from "./call-result.tsx";
import { CallUrgency } from "./call-urgency.tsx";
import { type CanStand, FirstQuestion } from "./first-question.tsx";
import styles from "./phone-call.module.css";

const useCallDraft = () => {
  const timeZone = useTimeZone();
  return useDraft(() => ({
    horse: null as Choice | null,
    caller: "",
    callerPhone: "",
    calledAt: nowIn(timeZone),
    feet: [] as readonly FootName[],
    medicines: "",
    notes: "",
    answers: {} as CallAnswers,
  }));
};

/** How soon the vet must come by what is answered so far, and what to ask next. */
const SoFar = ({ answers }: { readonly answers: CallAnswers }) => {
  const { t } = useTranslation("cases");
  const triage = useQuery({
    ...read("judgePhoneCall", { body: { answers } }),
    placeholderData: keepPreviousData,
  });
  if (triage.data === undefined) return null;
  const { urgency, nextQuestion, findings } = triage.data;
  return (
    <output className={styles["soFar"]}>
      <strong>{t("call.soFar")}</strong>
      <CallUrgency urgency={urgency} />
      {findings[0] === undefined ? null : <span>{findings[0].detail}</span>}
      {nextQuestion === null ? null : (
        <span className="quiet">{t("call.askNext", { question: nextQuestion })}</span>
      )}
    </output>
  );
};

const CallForm = ({
  canStand,
  call,
}: {
  readonly canStand: Exclude<CanStand, "">;
  readonly call: ReturnType<typeof useWrite<"takePhoneCall">>;
}) => {
  const { t } = useTranslation("cases");
  const [draft, set] = useCallDraft();
  const [wasSent, setSent] = useState(false);
  const isDown = canStand === "no";
  const answers: CallAnswers = {
    ...draft.answers,
    ...(canStand === "unknown" ? {} : { canStand: canStand === "yes" }),
  };
  const send = () => {
    setSent(true);
    if (draft.horse === null) return;
    const [callerPhone, medicineAlreadyGiven, notes] = [
      draft.callerPhone,
      draft.medicines,
      draft.notes,
    ].map(typedText);
    call.mutate({
      body: {
        horseId: draft.horse.id,
        caller: draft.caller,
        calledAt: draft.calledAt,
        feetAffected: [...draft.feet],
        answers: { ...answers, ...(medicineAlreadyGiven && { medicineAlreadyGiven }) },
        ...(callerPhone && { callerPhone }),
        ...(notes && { notes }),
      },
    });
  };
  return (
    <Form
      problem={call.error}
      onSubmit={send}
      footer={
        <Button look="primary" size="large" type="submit" isBusy={call.isPending}>
          {t("call.save")}
        </Button>
      }
    >
      <Card title={isDown ? t("call.afterwards") : t("call.who")}>
        <div className="columns">
          <div>
            <HorsePicker label={t("horse")} value={draft.horse} onChoose={set("horse")} />
            {wasSent && draft.horse === null ? <p role="alert">{t("call.chooseHorse")}</p> : null}
          </div>
          <TextField
            label={t("call.caller")}
            name="caller"
            required
            value={draft.caller}
            onChange={set("caller")}
          />
          <TextField
            label={t("call.callerPhone")}
            name="callerPhone"
            type="tel"
            isOptional
            value={draft.callerPhone}
            onChange={set("callerPhone")}
          />
          <MomentField
            label={t("call.calledAt")}
            name="calledAt"
            value={draft.calledAt}
            onChange={set("calledAt")}
          />
        </div>
      </Card>
      {isDown ? null : (
        <Card title={t("call.questions")}>
          <CallQuestions answers={draft.answers} onChange={set("answers")} />
        </Card>
      )}
      <Card>
        <div className="columns">
          <FeetPicker label={t("call.feet")} value={draft.feet} onChange={set("feet")} />
          <div className="stack">
            <TextArea
              label={t("call.medicines")}
              name="answers/medicineAlreadyGiven"
              isOptional
              value={draft.medicines}
              onChange={set("medicines")}
            />
            <TextArea
              label={t("call.notes")}
              name="notes"
              isOptional
              value={draft.notes}
              onChange={set("notes")}
            />
          </div>
        </div>
      </Card>
      {isDown ? null : <SoFar answers={answers} />}
    </Form>
  );
};

/** The first phone call. Nothing else is asked until it is known whether the horse can get up. */
export const PhoneCallPage = () => {
  const { t } = useTranslation("cases");
  const [canStand, setCanStand] = useState<CanStand>("");
  const call = useWrite("takePhoneCall");
  if (call.data !== undefined) return <CallResult answer={call.data} isDown={canStand === "no"} />;
  return (
    <>
      <PageHeader
        title={t("call.title")}
        lead={t("call.lead")}
        back={{ href: "/cases", label: t("title") }}
      />
      <div className="stack">
        <FirstQuestion value={canStand} onChange={setCanStand} />
        {canStand === "" ? null : <CallForm canStand={canStand} call={call} />}
      </div>
    </>
  );
};
