import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { CopyLink } from "../../parts/copy-link.tsx";

/** Makes a calendar address and shows it this once. */
export const MakeFeedDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation(["calendar", "common"]);
  const make = useWrite("makeCalendarFeed");
  const [label, setLabel] = useState(() => t("labelDefault"));
  return (
    <Dialog title={t("make")} isOpen onClose={onClose}>
      {make.data === undefined ? (
        <Form
          problem={make.error}
          onSubmit={() => make.mutate({ body: { label } })}
          footer={
            <>
              <Button type="submit" look="primary" isBusy={make.isPending}>
                {t("make")}
              </Button>
              <Button look="quiet" onClick={onClose}>
                {t("common:cancel")}
              </Button>
            </>
          }
        >
          <TextField
            label={t("label")}
            name="label"
            hint={t("labelHint")}
            value={label}
            onChange={setLabel}
          />
        </Form>
      ) : (
        <div className="stack" aria-live="polite">
          <p>
            <strong>{t("shownOnce")}</strong> {t("how")}
          </p>
          <CopyLink
            link={make.data.link}
            label={t("address")}
            copy={t("copy")}
            copied={t("copied")}
          />
          <p className="quiet small">{t("caution")}</p>
          <div className="row">
            <Button onClick={onClose}>{t("done")}</Button>
          </div>
        </div>
      )}
    </Dialog>
  );
};
