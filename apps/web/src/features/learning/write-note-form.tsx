import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField, TextArea, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";

type Wedge = Body<"writeLearningNote">["wedge"];
const WEDGES: readonly Wedge[] = ["helped", "did not help", "not used", "cannot tell"];

const firstDraft = {
  expected: "",
  happened: "",
  wedge: "" as Wedge | "",
  wedgeWords: "",
  lesson: "",
};

/** The note itself. What is longer than a page does not fit in. */
export const WriteNoteForm = ({ caseId }: { readonly caseId: string }) => {
  const { t } = useTranslation("learning");
  const write = useWrite("writeLearningNote");
  const [draft, set] = useDraft(firstDraft);
  return (
    <Card title={t("write")}>
      <Form
        problem={write.error}
        onSubmit={() => {
          const { wedge, wedgeWords, ...texts } = draft;
          const words = typedText(wedgeWords);
          if (wedge !== "")
            write.mutate({
              params: { caseId },
              body: { ...texts, wedge, ...(words === undefined ? {} : { wedgeWords: words }) },
            });
        }}
        footer={
          <>
            <Button
              look="primary"
              type="submit"
              disabled={draft.wedge === ""}
              isBusy={write.isPending}
            >
              {t("save")}
            </Button>
            <span className="quiet small">{t("once")}</span>
          </>
        }
      >
        <TextArea
          label={t("expected")}
          name="expected"
          hint={t("expectedHint")}
          required
          maxLength={1200}
          value={draft.expected}
          onChange={set("expected")}
        />
        <TextArea
          label={t("happened")}
          name="happened"
          required
          maxLength={1200}
          value={draft.happened}
          onChange={set("happened")}
        />
        <ChoiceField
          label={t("wedge")}
          name="wedge"
          value={draft.wedge}
          onChange={set("wedge")}
          options={WEDGES.map((value) => ({ value, label: t(`wedgeOptions.${value}`) }))}
        />
        <TextField
          label={t("wedgeWords")}
          name="wedgeWords"
          isOptional
          maxLength={400}
          value={draft.wedgeWords}
          onChange={set("wedgeWords")}
        />
        <TextArea
          label={t("lesson")}
          name="lesson"
          required
          maxLength={600}
          value={draft.lesson}
          onChange={set("lesson")}
        />
      </Form>
    </Card>
  );
};
