import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { nowIn } from "../../language/wall-clock.ts";
import styles from "./routes.module.css";

/** Running late: the rest of the day is planned again and the yards are told. */
export const DelayDialog = ({
  date,
  farrierId,
  onClose,
}: {
  readonly date: string;
  readonly farrierId: string;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["routes", "common"]);
  const format = useFormat();
  const report = useWrite("reportDelay");
  const [draft, set] = useDraft(() => ({ freeAt: nowIn(format.timeZone), note: "" }));
  const note = typedText(draft.note);
  return (
    <Dialog title={t("late")} isOpen onClose={onClose}>
      {report.data === undefined ? (
        <Form
          problem={report.error}
          onSubmit={() =>
            report.mutate({
              params: { date },
              body: {
                freeAt: draft.freeAt,
                ...(farrierId === "" ? {} : { farrierId }),
                ...(note === undefined ? {} : { note }),
              },
            })
          }
          footer={
            <>
              <Button type="submit" look="primary" size="large" isBusy={report.isPending}>
                {t("lateSend")}
              </Button>
              <Button look="quiet" size="large" onClick={onClose}>
                {t("common:cancel")}
              </Button>
            </>
          }
        >
          <p className="quiet">{t("lateText")}</p>
          <MomentField
            label={t("freeAt")}
            name="freeAt"
            value={draft.freeAt}
            onChange={set("freeAt")}
          />
          <TextField
            label={t("lateNote")}
            name="note"
            isOptional
            value={draft.note}
            onChange={set("note")}
          />
        </Form>
      ) : (
        <div className="stack" aria-live="polite">
          {report.data.told.length === 0 ? <p>{t("nobodyToTell")}</p> : null}
          <ul className={styles["warnings"]}>
            {report.data.told.map((one) => (
              <li key={one.horse + one.was}>
                <span />
                <span>
                  <strong>{one.horse}</strong>, {one.yard}:{" "}
                  {one.now === null
                    ? t("noLongerFits", { was: format.time(one.was) })
                    : t("toldLater", { was: format.time(one.was), now: format.time(one.now) })}
                </span>
              </li>
            ))}
          </ul>
          <div className="row">
            <Button look="primary" size="large" onClick={onClose}>
              {t("common:close")}
            </Button>
          </div>
        </div>
      )}
    </Dialog>
  );
};
