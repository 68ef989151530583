import { CircleCheck } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { ErrorState } from "../../components/states.tsx";
import styles from "./portal.module.css";

/** A question to the practice, and how a copy or deletion of one's data is asked for. */
export const AskCard = ({
  horseId,
  horseName,
}: {
  readonly horseId: string;
  readonly horseName: string;
}) => {
  const { t } = useTranslation("portal");
  const ask = useWrite("askPractice");
  const askData = useWrite("askAboutData");
  const [question, setQuestion] = useState("");
  return (
    <>
      <div id="ask">
        <Card title={t("ask")}>
          {ask.isSuccess ? (
            <div className="stack">
              <output className={styles["agreed"]}>
                <CircleCheck aria-hidden />
                {t("sent")}
              </output>
              <div>
                <Button
                  onClick={() => {
                    setQuestion("");
                    ask.reset();
                  }}
                >
                  {t("another")}
                </Button>
              </div>
            </div>
          ) : (
            <Form
              problem={ask.error}
              onSubmit={() => ask.mutate({ params: { horseId }, body: { question } })}
              footer={
                <Button type="submit" look="primary" isBusy={ask.isPending}>
                  {t("send")}
                </Button>
              }
            >
              <TextArea
                label={t("askLabel")}
                name="question"
                rows={4}
                hint={t("askHint")}
                value={question}
                onChange={setQuestion}
              />
            </Form>
          )}
        </Card>
      </div>
      <details className={`${styles["data"] ?? ""} no-print`}>
        <summary>{t("data")}</summary>
        <div className="stack-tight">
          <p>{t("dataText")}</p>
          {askData.error === null ? null : <ErrorState error={askData.error} />}
          {askData.isSuccess ? <output>{t("dataSent")}</output> : null}
          <div className="row">
            {(["copy", "erasure"] as const).map((kind) => (
              <Button
                key={kind}
                look="quiet"
                isBusy={askData.isPending}
                onClick={() =>
                  askData.mutate({
                    body: { kind, words: t(`${kind}Words`, { name: horseName }) },
                  })
                }
              >
                {t(kind)}
              </Button>
            ))}
          </div>
        </div>
      </details>
    </>
  );
};
