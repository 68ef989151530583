import type { DataRequestView } from "@heelward/contracts";
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { QueryView } from "../../components/states.tsx";
import { typedText } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { CopyLinks, EraseDialog } from "./answer-data-request.tsx";

const AnswerForm = ({ one }: { readonly one: DataRequestView }) => {
  const { t } = useTranslation("people");
  const save = useWrite("answerDataRequest");
  const [text, setText] = useState("");
  const answer = typedText(text);
  return (
    <Form
      problem={save.error}
      onSubmit={() =>
        answer === undefined
          ? undefined
          : save.mutate({
              params: { dataRequestId: one.id },
              ifMatch: one.version,
              body: { answer },
            })
      }
      footer={
        <Button type="submit" isBusy={save.isPending} disabled={answer === undefined}>
          {t("dataRequests.record")}
        </Button>
      }
    >
      <TextField
        label={t("dataRequests.answer")}
        name="answer"
        maxLength={1000}
        value={text}
        onChange={setText}
      />
    </Form>
  );
};

/** An open request: the copy or the erasure at hand, and the answer in writing. */
const OpenRequest = ({ one }: { readonly one: DataRequestView }) => {
  const { t } = useTranslation("people");
  const [isErasing, setErasing] = useState(false);
  return (
    <>
      {one.kind === "copy" ? (
        <CopyLinks name={one.person.name} />
      ) : (
        <div>
          <Button look="danger" onClick={() => setErasing(true)}>
            {t("dataRequests.erase")}
          </Button>
        </div>
      )}
      {isErasing ? <EraseDialog one={one} onClose={() => setErasing(false)} /> : null}
      <AnswerForm one={one} />
    </>
  );
};

/** What people ask about their own data, with what answers it at hand. */
export const DataRequests = () => {
  const { t } = useTranslation("people");
  const format = useFormat();
  const requests = useQuery(read("listDataRequests", {}));
  return (
    <Card title={t("dataRequests.title")}>
      <QueryView query={requests}>
        {({ items }) =>
          items.length === 0 ? (
            <p className="quiet">{t("dataRequests.none")}</p>
          ) : (
            <ul className="stack">
              {items.map((one) => (
                <li key={one.id} className="stack-tight">
                  <strong>
                    {one.person.name}: {t(`dataRequests.${one.kind}`)}
                  </strong>
                  <span className="quiet small">{format.shortDateTime(one.askedAt)}</span>
                  {one.words === null ? null : <p>{one.words}</p>}
                  {one.answeredAt === null ? (
                    <OpenRequest one={one} />
                  ) : (
                    <p>
                      {t("dataRequests.answered", { when: format.shortDateTime(one.answeredAt) })}:{" "}
                      {one.answer}
                    </p>
                  )}
                </li>
              ))}
            </ul>
          )
        }
      </QueryView>
    </Card>
  );
};
