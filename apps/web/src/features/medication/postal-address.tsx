import { Pencil } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { QueryView } from "../../components/states.tsx";
import { usePostalAddress } from "./queries.ts";

const ChangeDialog = ({ now, onClose }: { readonly now: string; readonly onClose: () => void }) => {
  const { t } = useTranslation(["medication", "common"]);
  const change = useWrite("changePostalAddress");
  const [text, setText] = useState(now);
  return (
    <Dialog title={t("written.practiceAddress")} isOpen onClose={onClose}>
      <Form
        problem={change.error}
        onSubmit={() => change.mutate({ body: { postalAddress: text } }, { onSuccess: onClose })}
        footer={
          <>
            <Button type="submit" look="primary" isBusy={change.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p className="quiet">{t("written.practiceAddressHint")}</p>
        <TextField
          label={t("written.practiceAddress")}
          name="postalAddress"
          value={text}
          onChange={setText}
        />
      </Form>
    </Dialog>
  );
};

/** The practice's postal address as prescriptions carry it, and how to change it. */
export const PostalAddress = () => {
  const { t } = useTranslation(["medication", "common"]);
  const address = usePostalAddress();
  const [isOpen, setOpen] = useState(false);
  return (
    <QueryView query={address} lines={1}>
      {(data) => (
        <div className="spread">
          {isOpen ? (
            <ChangeDialog now={data.postalAddress ?? ""} onClose={() => setOpen(false)} />
          ) : null}
          <span>
            {data.name}
            <br />
            {data.postalAddress ?? <span className="quiet">{t("written.noAddress")}</span>}
          </span>
          <Button look="quiet" icon={<Pencil aria-hidden />} onClick={() => setOpen(true)}>
            {t("common:change")}
          </Button>
        </div>
      )}
    </QueryView>
  );
};
