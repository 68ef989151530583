import { hasDevice } from "@heelward/domain/trim";
import { CircleCheck } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { NumberField, SelectField, TextField } from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";
import { typedText } from "../../../components/use-draft.ts";
import { useFormat } from "../../../language/format.ts";
import type { Prescription } from "../queries.ts";

type Currency = NonNullable<Prescription["cost"]>["currency"];
const CURRENCIES: readonly Currency[] = ["EUR", "GBP", "USD"];

const isWhole = (text: string): boolean => /^\d+$/u.test(text.trim());

const CostForm = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const save = useWrite("setPlanCost");
  const [from, setFrom] = useState(String(plan.cost?.fromAmount ?? ""));
  const [to, setTo] = useState(String(plan.cost?.toAmount ?? ""));
  const [currency, setCurrency] = useState<Currency | "">(plan.cost?.currency ?? "EUR");
  const [covers, setCovers] = useState(plan.cost?.covers ?? "");
  return (
    <Form
      problem={save.error}
      onSubmit={() =>
        currency === ""
          ? undefined
          : save.mutate({
              params: { prescriptionId: plan.id },
              ifMatch: plan.version,
              body: {
                fromAmount: Number(from),
                toAmount: Number(to),
                currency,
                covers: covers.trim(),
              },
            })
      }
      footer={
        <Button
          type="submit"
          isBusy={save.isPending}
          disabled={!isWhole(from) || !isWhole(to) || typedText(covers) === undefined}
        >
          {t("terms.ask")}
        </Button>
      }
    >
      <p>{t("terms.costText")}</p>
      <div className="columns">
        <NumberField label={t("terms.from")} name="fromAmount" value={from} onChange={setFrom} />
        <NumberField label={t("terms.to")} name="toAmount" value={to} onChange={setTo} />
        <SelectField
          label={t("terms.currency")}
          name="currency"
          value={currency}
          onChange={setCurrency}
          options={CURRENCIES.map((one) => ({ value: one, label: one }))}
        />
      </div>
      <TextField
        label={t("terms.covers")}
        name="covers"
        maxLength={300}
        value={covers}
        onChange={setCovers}
      />
    </Form>
  );
};

const ToldForm = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const record = useWrite("recordPlanConsent");
  const [givenBy, setGivenBy] = useState("");
  const [words, setWords] = useState("");
  const said = typedText(words);
  return (
    <Form
      problem={record.error}
      onSubmit={() =>
        record.mutate({
          params: { prescriptionId: plan.id },
          ifMatch: plan.version,
          body: { givenBy: givenBy.trim(), ...(said === undefined ? {} : { words: said }) },
        })
      }
      footer={
        <Button type="submit" isBusy={record.isPending} disabled={typedText(givenBy) === undefined}>
          {t("terms.told")}
        </Button>
      }
    >
      <p>{t("terms.toldText")}</p>
      <TextField
        label={t("terms.givenBy")}
        name="givenBy"
        maxLength={120}
        value={givenBy}
        onChange={setGivenBy}
      />
      <TextField
        label={t("terms.words")}
        name="words"
        isOptional
        maxLength={500}
        value={words}
        onChange={setWords}
      />
    </Form>
  );
};

/** What a draft is likely to cost, and whether the owner agreed to it. */
export const ConsentTerms = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  if (!hasDevice(plan.feet)) return null;
  return (
    <Card title={t("terms.title")}>
      <div className="stack">
        {plan.consent === null ? (
          <p>{t("terms.missing")}</p>
        ) : (
          <p>
            <CircleCheck aria-hidden width="1em" />{" "}
            {t("terms.given", {
              name: plan.consent.givenBy,
              when: format.dateTime(plan.consent.at),
            })}
          </p>
        )}
        <CostForm key={plan.version} plan={plan} />
        {plan.consent === null ? <ToldForm plan={plan} /> : null}
      </div>
    </Card>
  );
};
