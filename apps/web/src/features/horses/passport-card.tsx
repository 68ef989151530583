import type { Horse } from "@heelward/contracts";
import { BookCheck, BookX } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { todayIn, useFormat } from "../../language/format.ts";

const PassportDialog = ({
  horse,
  onClose,
}: {
  readonly horse: Horse;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["horses", "common"]);
  const record = useWrite("recordPassport");
  const [foodChain, setFoodChain] = useState<"excluded" | "not excluded" | "">("");
  const [seenOn, setSeenOn] = useState(() => todayIn(horse.yard.timeZone));
  return (
    <Dialog title={t("recordPassport")} isOpen onClose={onClose}>
      <Form
        problem={record.error}
        onSubmit={() => {
          if (foodChain !== "")
            record.mutate(
              {
                params: { horseId: horse.id },
                ifMatch: horse.version,
                body: { foodChain, seenOn },
              },
              { onSuccess: onClose },
            );
        }}
        footer={
          <Button
            look="primary"
            type="submit"
            disabled={foodChain === ""}
            isBusy={record.isPending}
          >
            {t("common:save")}
          </Button>
        }
      >
        <ChoiceField
          label={t("foodChainSays")}
          name="foodChain"
          hint={t("passportFinal")}
          value={foodChain}
          onChange={setFoodChain}
          options={(["excluded", "not excluded"] as const).map((one) => ({
            value: one,
            label: t(`foodChain.${one}`),
          }))}
        />
        <TextField
          label={t("seenOn")}
          name="seenOn"
          type="date"
          required
          value={seenOn}
          onChange={setSeenOn}
        />
      </Form>
    </Dialog>
  );
};

/** What the passport says about the food chain, who may record it, and why it matters. */
export const PassportCard = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("horses");
  const format = useFormat();
  const isVet = useIsRole("vet");
  const [isOpen, setOpen] = useState(false);
  const isOut = horse.foodChain === "excluded";
  return (
    <Card
      title={t("passport")}
      actions={
        isVet ? <Button onClick={() => setOpen(true)}>{t("recordPassport")}</Button> : undefined
      }
    >
      {isOpen ? <PassportDialog horse={horse} onClose={() => setOpen(false)} /> : null}
      <div className="stack-tight">
        <div>
          <Badge
            tone={isOut ? "fine" : "today"}
            icon={isOut ? <BookCheck aria-hidden /> : <BookX aria-hidden />}
          >
            {t(`foodChain.${horse.foodChain}`)}
          </Badge>
        </div>
        <p>
          {horse.passportSeenOn === null
            ? t("passportNotSeen")
            : t("passportSeen", { date: format.date(horse.passportSeenOn) })}
        </p>
        {horse.foodChain === "passport not seen" ? (
          <p className="quiet">{t("passportCaution")}</p>
        ) : null}
      </div>
    </Card>
  );
};
