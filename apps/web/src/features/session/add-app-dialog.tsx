import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../../api/client.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import styles from "./factors.module.css";

/** The quiet zone a camera needs around the code, in modules. Source: ISO/IEC 18004. */
const QUIET = 4;

/** Adds an authenticator app: name it, scan, type the first code. */
export const AddAppDialog = ({
  onAdded,
  onClose,
}: {
  readonly onAdded: (recoveryCodes: readonly string[] | null) => void;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["session", "common"]);
  const [name, setName] = useState("");
  const [code, setCode] = useState("");
  const start = useMutation({
    mutationFn: () => call("startAppCode", { body: { name } }),
  });
  const app = start.data;
  const confirm = useMutation({
    mutationFn: (factorId: string) =>
      call("confirmAppCode", { params: { factorId }, body: { code: code.trim() } }),
    onSuccess: ({ recoveryCodes }) => onAdded(recoveryCodes),
  });
  const side = app === undefined ? 0 : app.size + 2 * QUIET;
  return (
    <Dialog title={t("addApp")} isOpen onClose={onClose}>
      {app === undefined ? (
        <Form
          problem={start.error}
          onSubmit={() => start.mutate()}
          footer={
            <Button look="primary" type="submit" isBusy={start.isPending}>
              {t("next")}
            </Button>
          }
        >
          <p>{t("addAppLead")}</p>
          <TextField
            label={t("factorName")}
            name="name"
            hint={t("appNameHint")}
            required
            value={name}
            onChange={setName}
          />
        </Form>
      ) : (
        <Form
          problem={confirm.error}
          onSubmit={() => confirm.mutate(app.id)}
          footer={
            <Button look="primary" type="submit" isBusy={confirm.isPending}>
              {t("confirmApp")}
            </Button>
          }
        >
          <p>{t("scan")}</p>
          <svg
            className={styles["picture"]}
            viewBox={`${-QUIET} ${-QUIET} ${side} ${side}`}
            role="img"
            aria-label={t("scanPicture")}
            shapeRendering="crispEdges"
          >
            <path d={app.picture} fill="#000" />
          </svg>
          <p>
            <span className="quiet">{t("typeKey")}</span>{" "}
            <span className={styles["key"]}>{app.key.match(/.{1,4}/gu)?.join(" ")}</span>
          </p>
          <TextField
            label={t("firstCode")}
            name="code"
            inputMode="numeric"
            autoComplete="one-time-code"
            maxLength={6}
            required
            value={code}
            onChange={setCode}
          />
        </Form>
      )}
    </Dialog>
  );
};
