import type { LabResult } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { CheckField, TextArea } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { Form } from "../../components/form.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { ResultStanding } from "./result-standing.tsx";

/** A vet reads a result and decides whether and in which words the owner sees it. */
export const ReadResultDialog = ({
  result,
  onClose,
}: {
  readonly result: LabResult;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["laboratory", "common"]);
  const format = useFormat();
  const read = useWrite("readLabResult");
  const [draft, set] = useDraft({ release: false, words: "" });
  const words = typedText(draft.words);
  return (
    <Dialog
      title={t("readTitle", {
        test: t(`tests.${result.test as "insulin"}`, { defaultValue: result.test }),
        date: format.date(result.takenOn),
      })}
      isOpen
      onClose={onClose}
    >
      <Form
        problem={read.error}
        onSubmit={() =>
          read.mutate(
            {
              params: { resultId: result.id },
              ifMatch: result.version,
              body: { release: draft.release, ...(words === undefined ? {} : { words }) },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button
              type="submit"
              look="primary"
              isBusy={read.isPending}
              disabled={draft.release && words === undefined}
            >
              {t("saveRead")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p className="row">
          <strong>
            {format.number(result.value, 2)} {result.unit}
          </strong>
          <ResultStanding result={result} />
        </p>
        {result.reading === null ? null : <p>{result.reading}</p>}
        <Findings findings={result.findings} />
        <CheckField
          label={t("release")}
          name="release"
          hint={t("releaseHint")}
          value={draft.release}
          onChange={set("release")}
        />
        <TextArea
          label={t("words")}
          name="words"
          rows={3}
          isOptional={!draft.release}
          hint={t("wordsHint")}
          value={draft.words}
          onChange={set("words")}
        />
      </Form>
    </Dialog>
  );
};
