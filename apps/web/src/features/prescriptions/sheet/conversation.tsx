import type { Prescription } from "../queries.ts";
import { CircleX, MessageCircleQuestion, Send, ThumbsUp } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { useIsRole } from "../../../app/current-session.tsx";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { DecimalField } from "../../../components/decimal-field.tsx";
import { SelectField, TextArea } from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";
import { typedText } from "../../../components/use-draft.ts";
import { useFormat } from "../../../language/format.ts";
import { CallPerson } from "../../../parts/call-person.tsx";
import { useDeviceNames, useDeviceOptions } from "../../../parts/planner-figures.ts";
import styles from "./sheet.module.css";

type Reply = "accepted" | "queried" | "declined";
type Counter = {
  readonly foot: "LF" | "RF" | "LH" | "RH";
  readonly heelRemoveMm?: number;
  readonly breakoverFromP3TipMm?: number;
  readonly shoe?: string;
};

const CounterWords = ({ counter }: { readonly counter: readonly Counter[] }) => {
  const device = useDeviceNames();
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  return (
    <ul className="small">
      {counter.map((one) => (
        <li key={one.foot}>
          <strong>{t(`common:foot.${one.foot}`)}</strong>:{" "}
          {[
            one.breakoverFromP3TipMm === undefined
              ? undefined
              : t("counter.breakover", { mm: format.number(one.breakoverFromP3TipMm) }),
            one.heelRemoveMm === undefined
              ? undefined
              : t("counter.heel", { mm: format.number(one.heelRemoveMm) }),
            one.shoe === undefined ? undefined : device.shoe(one.shoe),
          ]
            .filter((part) => part !== undefined)
            .join(", ")}
        </li>
      ))}
    </ul>
  );
};

const Messages = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  return (
    <ol className={styles["messages"]}>
      {plan.messages.map((message) => (
        <li key={message.id}>
          <p className="small">
            <strong>{message.writtenBy.name}</strong> {t(`said.${message.kind}`)} ·{" "}
            {format.dateTime(message.writtenAt)}
          </p>
          {message.text === null ? null : <p>{message.text}</p>}
          {Array.isArray(message.counterProposal) ? (
            <CounterWords counter={message.counterProposal as unknown as Counter[]} />
          ) : null}
        </li>
      ))}
    </ol>
  );
};

const CounterFields = ({
  plan,
  counter,
  onChange,
}: {
  readonly plan: Prescription;
  readonly counter: readonly Counter[];
  readonly onChange: (counter: readonly Counter[]) => void;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const { shoes } = useDeviceOptions({ shoe: "", supportFill: "", fixing: "" });
  const set = (foot: Counter["foot"], change: Partial<Counter>, gone: readonly string[]) => {
    const before = counter.find((one) => one.foot === foot) ?? { foot };
    const kept = Object.entries({ ...before, ...change }).filter(([name]) => !gone.includes(name));
    onChange([
      ...counter.filter((one) => one.foot !== foot),
      Object.fromEntries(kept) as unknown as Counter,
    ]);
  };
  return (
    <div className="stack">
      <p className="quiet small">{t("counter.lead")}</p>
      {plan.feet.map((foot) => {
        const one = counter.find((other) => other.foot === foot.foot);
        const number = (name: "heelRemoveMm" | "breakoverFromP3TipMm") => (value: number | null) =>
          set(foot.foot, value === null ? {} : { [name]: value }, value === null ? [name] : []);
        return (
          <fieldset key={foot.foot} className={styles["counter"]}>
            <legend>{t(`common:foot.${foot.foot}`)}</legend>
            <div className="columns">
              <DecimalField
                label={t("counter.breakoverLabel")}
                unit="mm"
                isOptional
                value={one?.breakoverFromP3TipMm ?? null}
                onChange={number("breakoverFromP3TipMm")}
              />
              <DecimalField
                label={t("heelOff")}
                unit="mm"
                isOptional
                value={one?.heelRemoveMm ?? null}
                onChange={number("heelRemoveMm")}
              />
              <SelectField
                label={t("shoe")}
                isOptional
                emptyLabel={t("counter.same")}
                value={one?.shoe ?? ""}
                onChange={(shoe) =>
                  set(foot.foot, shoe === "" ? {} : { shoe }, shoe === "" ? ["shoe"] : [])
                }
                options={shoes}
              />
            </div>
          </fieldset>
        );
      })}
    </div>
  );
};

const ReplyForm = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const reply = useWrite("replyToPrescription");
  const [kind, setKind] = useState<Reply>();
  const [text, setText] = useState("");
  const [counter, setCounter] = useState<readonly Counter[]>([]);
  const send = (chosen: Reply) => {
    const words = typedText(text);
    const proposals = counter.filter((one) => Object.keys(one).length > 1);
    reply.mutate(
      {
        params: { prescriptionId: plan.id },
        ifMatch: plan.version,
        body: {
          reply: chosen,
          ...(words === undefined ? {} : { text: words }),
          ...(chosen === "accepted" || proposals.length === 0
            ? {}
            : { counterProposal: [...proposals] }),
        },
      },
      { onSuccess: () => setKind(undefined) },
    );
  };
  return (
    <div className="stack no-print">
      <div className={styles["replies"]}>
        {plan.status === "accepted" ? null : (
          <Button
            look="primary"
            size="large"
            icon={<ThumbsUp aria-hidden />}
            isBusy={reply.isPending && kind === undefined}
            onClick={() => send("accepted")}
          >
            {t("reply.accept")}
          </Button>
        )}
        <Button
          size="large"
          icon={<MessageCircleQuestion aria-hidden />}
          aria-pressed={kind === "queried"}
          onClick={() => setKind("queried")}
        >
          {t("reply.ask")}
        </Button>
        <Button
          size="large"
          look="danger"
          icon={<CircleX aria-hidden />}
          aria-pressed={kind === "declined"}
          onClick={() => setKind("declined")}
        >
          {t("reply.decline")}
        </Button>
      </div>
      {kind === undefined && reply.error !== null ? (
        <Form problem={reply.error} onSubmit={() => send("accepted")} footer={null}>
          {null}
        </Form>
      ) : null}
      {kind === undefined ? null : (
        <Form
          problem={reply.error}
          onSubmit={() => send(kind)}
          footer={
            <>
              <Button
                look="primary"
                type="submit"
                icon={<Send aria-hidden />}
                isBusy={reply.isPending}
                disabled={text.trim() === ""}
              >
                {kind === "declined" ? t("reply.sendDecline") : t("reply.sendQuestion")}
              </Button>
              <Button look="quiet" onClick={() => setKind(undefined)}>
                {t("common:cancel")}
              </Button>
            </>
          }
        >
          <p className="quiet small">
            {kind === "declined" ? t("reply.declineHint") : t("reply.askHint")}
          </p>
          <TextArea
            label={kind === "declined" ? t("reply.why") : t("reply.question")}
            name="text"
            maxLength={2000}
            required
            value={text}
            onChange={setText}
          />
          <details>
            <summary>{t("counter.title")}</summary>
            <CounterFields plan={plan} counter={counter} onChange={setCounter} />
          </details>
        </Form>
      )}
    </div>
  );
};

const AnswerForm = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const answer = useWrite("answerPrescription");
  const [text, setText] = useState("");
  return (
    <Form
      problem={answer.error}
      onSubmit={() =>
        answer.mutate(
          { params: { prescriptionId: plan.id }, ifMatch: plan.version, body: { text } },
          { onSuccess: () => setText("") },
        )
      }
      footer={
        <Button
          look="primary"
          type="submit"
          icon={<Send aria-hidden />}
          isBusy={answer.isPending}
          disabled={text.trim() === ""}
        >
          {t("reply.answer")}
        </Button>
      }
    >
      <TextArea
        label={t("reply.answerLabel")}
        name="text"
        hint={t("reply.answerHint")}
        maxLength={2000}
        required
        value={text}
        onChange={setText}
      />
    </Form>
  );
};

/** What vet and farrier said to each other about a plan, and the next word of whoever reads it. */
export const Conversation = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const isFarrier = useIsRole("farrier");
  const isVet = useIsRole("vet");
  const canReply = isFarrier && ["signed", "queried", "accepted"].includes(plan.status);
  const canAnswer = isVet && plan.status === "queried";
  if (plan.messages.length === 0 && !canReply && !canAnswer) return null;
  return (
    <Card title={t("conversation")} className={styles["conversation"]}>
      <div className="stack">
        {isFarrier && !isVet ? (
          <p>
            <CallPerson person={plan.draftedBy} worksAs="vet" horse={plan.horse} />
          </p>
        ) : null}
        {plan.messages.length === 0 ? null : <Messages plan={plan} />}
        {canReply ? <ReplyForm key={plan.version} plan={plan} /> : null}
        {canAnswer ? <AnswerForm plan={plan} /> : null}
      </div>
    </Card>
  );
};
