import type { Reset } from "@heelward/contracts";
import { RESET_OUTCOMES, type ResetOutcome } from "@heelward/domain/cycle";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import {
  ChoiceField,
  NumberField,
  SelectField,
  TextArea,
  TextField,
} from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { todayIn, useFormat } from "../../language/format.ts";
import { instantOf, nowIn, wallClockOf } from "../../language/wall-clock.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { BookingCheck } from "./booking-check.tsx";
import { SlotPicker } from "./slot-picker.tsx";

type NotDone = Exclude<ResetOutcome, "done">;
const NOT_DONE = RESET_OUTCOMES.filter((one): one is NotDone => one !== "done");
const CHANNELS = ["call", "text", "mail", "in person"] as const;
type Channel = (typeof CHANNELS)[number];
const FIRST_HOUR = "09:00";

interface Props {
  readonly reset: Reset;
  readonly onClose: () => void;
}

const Footer = ({
  isBusy,
  label,
  onClose,
}: {
  readonly isBusy: boolean;
  readonly label: string;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation();
  return (
    <>
      <Button type="submit" look="primary" isBusy={isBusy}>
        {label}
      </Button>
      <Button look="quiet" onClick={onClose}>
        {t("cancel")}
      </Button>
    </>
  );
};

const firstSlot = (reset: Reset, on: string | undefined): string => {
  const zone = reset.yard.timeZone;
  if (on !== undefined) {
    // A visit that is moved to another day keeps its hour.
    const hour =
      reset.bookedFor === null ? FIRST_HOUR : wallClockOf(reset.bookedFor, zone).slice(11, 16);
    return instantOf(`${on}T${hour}`, zone);
  }
  if (reset.bookedFor !== null) return reset.bookedFor;
  const tomorrow = todayIn(zone, new Date(Date.now() + 86_400_000));
  return instantOf(`${reset.bookBy > tomorrow ? reset.bookBy : tomorrow}T${FIRST_HOUR}`, zone);
};

/** Book a visit, or move the one that is booked. */
export const BookDialog = ({
  reset,
  on,
  onClose,
}: Props & { readonly on?: string | undefined }) => {
  const { t } = useTranslation(["resets", "common"]);
  const format = useFormat(reset.yard.timeZone);
  const book = useWrite("bookReset");
  const farriers = usePeopleOf("farrier");
  const isMove = reset.bookedFor !== null;
  const [draft, set, setDraft] = useDraft({
    bookedFor: firstSlot(reset, on),
    minutes: String(reset.bookedMinutes ?? reset.estimatedMinutes),
    farrierId: reset.farrier?.id ?? "",
    job: reset.job ?? "",
    reason: "",
  });
  const [job, reason] = [typedText(draft.job), typedText(draft.reason)];
  const title = t(isMove ? "rebookTitle" : "bookTitle", { horse: reset.horse.name });
  return (
    <Dialog title={title} isOpen onClose={onClose}>
      <Form
        problem={book.error}
        onSubmit={() =>
          book.mutate(
            {
              params: { resetId: reset.id },
              ifMatch: reset.version,
              body: {
                bookedFor: draft.bookedFor,
                minutes: typedNumber(draft.minutes) ?? reset.estimatedMinutes,
                ...(draft.farrierId === "" ? {} : { farrierId: draft.farrierId }),
                ...(job === undefined ? {} : { job }),
                ...(reason === undefined ? {} : { reason }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Footer isBusy={book.isPending} label={t(isMove ? "rebook" : "book")} onClose={onClose} />
        }
      >
        <MomentField
          label={t("when")}
          name="bookedFor"
          timeZone={reset.yard.timeZone}
          hint={t("whenHint", {
            yard: reset.yard.name,
            due: format.shortDate(reset.dueOn),
            ceiling: format.shortDate(reset.ceilingOn),
          })}
          value={draft.bookedFor}
          onChange={set("bookedFor")}
        />
        <SlotPicker
          resetId={reset.id}
          farrierId={draft.farrierId}
          timeZone={reset.yard.timeZone}
          value={draft.bookedFor}
          onChoose={(bookedFor, farrierId) => setDraft({ ...draft, bookedFor, farrierId })}
        />
        <BookingCheck
          resetId={reset.id}
          bookedFor={draft.bookedFor}
          farrierId={draft.farrierId}
          minutes={typedNumber(draft.minutes)}
        />
        <div className="columns">
          <SelectField
            label={t("farrier")}
            name="farrierId"
            value={draft.farrierId}
            onChange={set("farrierId")}
            emptyLabel={t("common:chooseFirst")}
            options={farriers.map((one) => ({ value: one.id, label: one.name }))}
          />
          <NumberField
            label={t("minutes")}
            name="minutes"
            unit="min"
            value={draft.minutes}
            onChange={set("minutes")}
          />
        </div>
        <TextField
          label={t("job")}
          name="job"
          isOptional
          hint={t("jobHint")}
          value={draft.job}
          onChange={set("job")}
        />
        <TextArea
          label={t("reason")}
          name="reason"
          isOptional
          rows={2}
          hint={t("bookReasonHint")}
          value={draft.reason}
          onChange={set("reason")}
        />
      </Form>
    </Dialog>
  );
};

/** A booked visit did not happen: why, and a new date or the person who finds one. */
export const NotDoneDialog = ({ reset, onClose }: Props) => {
  const { t } = useTranslation(["resets", "common"]);
  const cancel = useWrite("cancelBooking");
  const managers = usePeopleOf("manager");
  const farriers = usePeopleOf("farrier");
  const [draft, set] = useDraft({
    kind: "" as NotDone | "",
    detail: "",
    after: "date" as "date" | "person",
    rebookFor: "",
    person: "",
  });
  const people = [
    ...managers,
    ...farriers.filter((one) => !managers.some((other) => other.id === one.id)),
  ];
  return (
    <Dialog title={t("cancelTitle", { horse: reset.horse.name })} isOpen onClose={onClose}>
      <Form
        problem={cancel.error}
        onSubmit={() =>
          cancel.mutate(
            {
              params: { resetId: reset.id },
              ifMatch: reset.version,
              body: {
                kind: draft.kind as NotDone,
                detail: draft.detail,
                ...(draft.after === "date" && draft.rebookFor !== ""
                  ? { rebookFor: draft.rebookFor }
                  : {}),
                ...(draft.after === "person" && draft.person !== ""
                  ? { personToRebook: draft.person }
                  : {}),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={<Footer isBusy={cancel.isPending} label={t("common:save")} onClose={onClose} />}
      >
        <p className="quiet">{t("cancelCaution")}</p>
        <SelectField<NotDone>
          label={t("cancelWhy")}
          name="kind"
          value={draft.kind}
          onChange={set("kind")}
          emptyLabel={t("common:chooseFirst")}
          options={NOT_DONE.map((one) => ({ value: one, label: t(`kinds.${one}`) }))}
        />
        <TextArea
          label={t("cancelWords")}
          name="detail"
          rows={2}
          value={draft.detail}
          onChange={set("detail")}
        />
        <ChoiceField
          label={t("cancelThen")}
          value={draft.after}
          onChange={set("after")}
          options={[
            { value: "date", label: t("cancelNew") },
            { value: "person", label: t("cancelPerson") },
          ]}
        />
        {draft.after === "date" ? (
          <>
            <SlotPicker
              resetId={reset.id}
              farrierId={reset.farrier?.id ?? ""}
              timeZone={reset.yard.timeZone}
              value={draft.rebookFor}
              onChoose={(rebookFor) => set("rebookFor")(rebookFor)}
            />
            <MomentField
              label={t("newDate")}
              name="rebookFor"
              timeZone={reset.yard.timeZone}
              value={draft.rebookFor}
              onChange={set("rebookFor")}
            />
          </>
        ) : (
          <SelectField
            label={t("whoRebooks")}
            name="personToRebook"
            value={draft.person}
            onChange={set("person")}
            emptyLabel={t("common:chooseFirst")}
            options={people.map((one) => ({ value: one.id, label: one.name }))}
          />
        )}
      </Form>
    </Dialog>
  );
};

/** Somebody tried to reach the owner. */
export const ContactDialog = ({ reset, onClose }: Props) => {
  const { t } = useTranslation(["resets", "common"]);
  const log = useWrite("logAttempt");
  const [draft, set] = useDraft(() => ({
    channel: "call" as Channel,
    detail: "",
    reply: "",
    at: nowIn(reset.yard.timeZone),
  }));
  const reply = typedText(draft.reply);
  return (
    <Dialog title={t("contactTitle", { horse: reset.horse.name })} isOpen onClose={onClose}>
      <Form
        problem={log.error}
        onSubmit={() =>
          log.mutate(
            {
              params: { resetId: reset.id },
              body: {
                channel: draft.channel,
                detail: draft.detail,
                at: draft.at,
                ...(reply === undefined ? {} : { reply }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={<Footer isBusy={log.isPending} label={t("common:save")} onClose={onClose} />}
      >
        <ChoiceField<Channel>
          label={t("channel")}
          name="channel"
          value={draft.channel}
          onChange={set("channel")}
          options={CHANNELS.map((one) => ({ value: one, label: t(`channels.${one}`) }))}
        />
        <TextArea
          label={t("contactWhat")}
          name="detail"
          rows={3}
          value={draft.detail}
          onChange={set("detail")}
        />
        <TextField
          label={t("reply")}
          name="reply"
          isOptional
          hint={t("replyHint")}
          value={draft.reply}
          onChange={set("reply")}
        />
        <MomentField
          label={t("contactAt")}
          name="at"
          timeZone={reset.yard.timeZone}
          value={draft.at}
          onChange={set("at")}
        />
      </Form>
    </Dialog>
  );
};

/** The vet shortens the interval, or lengthens it with a reason. */
export const IntervalDialog = ({ reset, onClose }: Props) => {
  const { t } = useTranslation(["resets", "common"]);
  const change = useWrite("changeInterval");
  const [days, setDays] = useState(String(reset.intervalDays));
  const [reason, setReason] = useState("");
  const lengthenReason = typedText(reason);
  return (
    <Dialog title={t("intervalTitle", { horse: reset.horse.name })} isOpen onClose={onClose}>
      <Form
        problem={change.error}
        onSubmit={() =>
          change.mutate(
            {
              params: { resetId: reset.id },
              ifMatch: reset.version,
              body: {
                intervalDays: typedNumber(days) ?? Number.NaN,
                ...(lengthenReason === undefined ? {} : { lengthenReason }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={<Footer isBusy={change.isPending} label={t("common:save")} onClose={onClose} />}
      >
        <NumberField
          label={t("intervalField")}
          name="intervalDays"
          unit={t("common:days", { count: typedNumber(days) ?? 2 }).replace(/^\S+ /, "")}
          value={days}
          onChange={setDays}
        />
        <TextArea
          label={t("lengthen")}
          name="lengthenReason"
          isOptional
          rows={3}
          hint={t("lengthenHint")}
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};
