import type { OwnerHorse } from "@heelward/contracts";
import { CircleCheck } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import styles from "./portal.module.css";

/** Asks for consent without pressing for it, and thanks for it. */
export const ConsentCard = ({ plan }: { readonly plan: NonNullable<OwnerHorse["plan"]> }) => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  const { session } = useCurrent();
  const consent = useWrite("consentToPlan");
  const [text, setText] = useState("");
  if (plan.consent !== null)
    return (
      <p className={styles["agreed"]}>
        <CircleCheck aria-hidden />
        {plan.consent.by.id === session.person.id
          ? t("agreed", { date: format.day(plan.consent.at) })
          : t("agreedBy", { name: plan.consent.by.name, date: format.day(plan.consent.at) })}
      </p>
    );
  const words = typedText(text);
  return (
    <div className={styles["consent"]}>
      <Form
        problem={consent.error}
        onSubmit={() =>
          consent.mutate({
            params: { prescriptionId: plan.id },
            body: {
              agrees: true,
              seenVersion: plan.version,
              ...(words === undefined ? {} : { words }),
            },
          })
        }
        footer={
          <>
            <Button type="submit" look="primary" size="large" isBusy={consent.isPending}>
              {t("agree")}
            </Button>
            <a href="#ask" className={styles["askFirst"]}>
              {t("askFirst")}
            </a>
          </>
        }
      >
        <h3>{t("consentAsk")}</h3>
        <p>{t("consentText")}</p>
        <TextArea
          label={t("consentWords")}
          name="words"
          isOptional
          rows={2}
          value={text}
          onChange={setText}
        />
      </Form>
    </div>
  );
};
