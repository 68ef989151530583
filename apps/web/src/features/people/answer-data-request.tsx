import type { CaseItem, DataRequestView } from "@heelward/contracts";
import { useQuery } from "@tanstack/react-query";
import { FileDown } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { read, useWrite } from "../../api/use-call.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { QueryView } from "../../components/states.tsx";
import { typedText } from "../../components/use-draft.ts";

const CasesOf = ({ horse }: { readonly horse: { readonly id: string; readonly name: string } }) => {
  const { t } = useTranslation("people");
  const cases = useQuery(read("listCases", { query: { horseId: horse.id, limit: 100 } }));
  return (cases.data?.items ?? []).map((one: CaseItem) => (
    <ButtonLink
      key={one.id}
      icon={<FileDown aria-hidden />}
      href={addressOf("exportCase", { params: { caseId: one.id } })}
    >
      {t("dataRequests.archive", { horse: horse.name, number: one.number })}
    </ButtonLink>
  ));
};

/** The archives of the cases of a person's horses, to look through and hand over. */
export const CopyLinks = ({ name }: { readonly name: string }) => {
  const { t } = useTranslation("people");
  const horses = useQuery(read("listHorses", { query: { q: name, limit: 50 } }));
  return (
    <QueryView query={horses} lines={1}>
      {({ items }) => (
        <div className="stack-tight">
          <p className="small">
            {t(items.length === 0 ? "dataRequests.noHorse" : "dataRequests.look")}
          </p>
          <div className="row">
            {items.map((horse) => (
              <CasesOf key={horse.id} horse={horse} />
            ))}
          </div>
        </div>
      )}
    </QueryView>
  );
};

/** Takes the person's data out and writes down, as the answer, what is gone and what stays and why. */
export const EraseDialog = ({
  one,
  onClose,
}: {
  readonly one: DataRequestView;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation("people");
  const person = useQuery(read("readPerson", { params: { personId: one.person.id } }));
  const erase = useWrite("erasePerson");
  const answer = useWrite("answerDataRequest");
  const [text, setText] = useState("");
  const reason = typedText(text);
  return (
    <Dialog
      title={t("dataRequests.eraseTitle", { name: one.person.name })}
      isOpen
      onClose={onClose}
    >
      <QueryView query={person}>
        {({ version }) => (
          <Form
            problem={erase.error ?? answer.error}
            onSubmit={() =>
              reason === undefined
                ? undefined
                : erase.mutate(
                    { params: { personId: one.person.id }, ifMatch: version, body: { reason } },
                    {
                      onSuccess: ({ erased, kept }) =>
                        answer.mutate(
                          {
                            params: { dataRequestId: one.id },
                            ifMatch: one.version,
                            body: {
                              answer: t("dataRequests.erasedAnswer", {
                                erased: erased.join(", "),
                                kept: kept.map(({ what, why }) => `${what} (${why})`).join(", "),
                              }).slice(0, 1000),
                            },
                          },
                          { onSuccess: onClose },
                        ),
                    },
                  )
            }
            footer={
              <Button
                look="danger"
                type="submit"
                disabled={reason === undefined}
                isBusy={erase.isPending || answer.isPending}
              >
                {t("dataRequests.erase")}
              </Button>
            }
          >
            <p>{t("dataRequests.eraseText")}</p>
            <TextField
              label={t("dataRequests.eraseReason")}
              name="reason"
              maxLength={400}
              value={text}
              onChange={setText}
            />
          </Form>
        )}
      </QueryView>
    </Dialog>
  );
};
