import type { CaseView, Examination } from "@heelward/contracts";
import { CLOSING_REASONS, type ClosingReason } from "@heelward/domain/cases";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, SelectField, TextArea, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { usePeopleOf } from "../../parts/people.ts";

const firstDraft = {
  reason: "" as ClosingReason | "",
  note: "",
  welfareTalk: "",
  recoveryExaminationId: "",
  recordsSentTo: "",
  farrierToldById: "",
  carerToldById: "",
};
type Draft = typeof firstDraft;

const bodyOf = (draft: Draft, reason: ClosingReason): Body<"closeCase"> => {
  const given = (name: Exclude<keyof Draft, "reason" | "note">) => {
    const text = typedText(draft[name]);
    return text === undefined ? {} : { [name]: text };
  };
  return {
    reason,
    note: draft.note,
    ...(reason === "welfare decision" ? given("welfareTalk") : {}),
    ...(reason === "recovered" ? given("recoveryExaminationId") : {}),
    ...(reason === "moved away" ? given("recordsSentTo") : {}),
    ...given("farrierToldById"),
    ...given("carerToldById"),
  };
};

interface PartProps {
  readonly draft: Draft;
  readonly set: ReturnType<typeof useDraft<Draft>>[1];
}

/** Who tells the others, in person. */
const WhoTells = ({ draft, set }: PartProps) => {
  const { t } = useTranslation(["cases", "common"]);
  const people = [...usePeopleOf("vet"), ...usePeopleOf("manager")];
  const options = people
    .filter((one, index) => people.findIndex((other) => other.id === one.id) === index)
    .map((one) => ({ value: one.id, label: one.name }));
  return (
    <div className="columns">
      {(["farrierToldById", "carerToldById"] as const).map((name) => (
        <SelectField
          key={name}
          label={name === "farrierToldById" ? t("farrierToldBy") : t("carerToldBy")}
          name={name}
          hint={t("whoTellsHint")}
          value={draft[name]}
          onChange={set(name)}
          emptyLabel={t("common:chooseFirst")}
          options={options}
        />
      ))}
    </div>
  );
};

/** What the chosen reason rests on. */
const Grounds = ({
  draft,
  set,
  examinations,
}: PartProps & { readonly examinations: readonly Examination[] }) => {
  const { t } = useTranslation(["cases", "common"]);
  const format = useFormat();
  if (draft.reason === "welfare decision")
    return (
      <TextArea
        label={t("welfareTalk")}
        name="welfareTalk"
        hint={t("welfareTalkHint")}
        required
        value={draft.welfareTalk}
        onChange={set("welfareTalk")}
      />
    );
  if (draft.reason === "recovered")
    return (
      <SelectField
        label={t("recoveryExamination")}
        name="recoveryExaminationId"
        required
        value={draft.recoveryExaminationId}
        onChange={set("recoveryExaminationId")}
        emptyLabel={t("common:chooseFirst")}
        options={examinations
          .filter((one) => one.kind === "examination")
          .map((one) => ({
            value: one.id,
            label: `${format.shortDateTime(one.examinedAt)}, ${one.examinedBy.name}`,
          }))}
      />
    );
  if (draft.reason === "moved away")
    return (
      <TextField
        label={t("recordsSentTo")}
        name="recordsSentTo"
        required
        value={draft.recordsSentTo}
        onChange={set("recordsSentTo")}
      />
    );
  return null;
};

/** Closes a case for good, with what the reason rests on; named people tell the others. */
export const CloseDialog = ({
  one,
  examinations,
  onClose,
}: {
  readonly one: CaseView;
  readonly examinations: readonly Examination[];
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["cases", "common"]);
  const close = useWrite("closeCase");
  const [draft, set] = useDraft(firstDraft);
  return (
    <Dialog title={t("close")} isOpen isWide onClose={onClose}>
      <Form
        problem={close.error}
        onSubmit={() => {
          if (draft.reason !== "")
            close.mutate(
              {
                params: { caseId: one.id },
                ifMatch: one.version,
                body: bodyOf(draft, draft.reason),
              },
              { onSuccess: onClose },
            );
        }}
        footer={
          <Button
            look="danger"
            type="submit"
            disabled={draft.reason === ""}
            isBusy={close.isPending}
          >
            {t("close")}
          </Button>
        }
      >
        <ChoiceField
          label={t("closeReason")}
          name="reason"
          value={draft.reason}
          onChange={set("reason")}
          options={CLOSING_REASONS.map((reason) => ({
            value: reason,
            label: t(`closeReasons.${reason}`),
          }))}
        />
        <Grounds draft={draft} set={set} examinations={examinations} />
        <TextArea
          label={t("closeNote")}
          name="note"
          required
          value={draft.note}
          onChange={set("note")}
        />
        <WhoTells draft={draft} set={set} />
      </Form>
    </Dialog>
  );
};
