import type { RadiographView } from "@heelward/contracts";
import { FileCode2, FileImage, FileText, Send, Table2, UserRoundCheck } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./film-list.module.css";

const ReleaseDialog = ({
  radiograph,
  onClose,
}: {
  readonly radiograph: RadiographView;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const release = useWrite("releaseFilm");
  const [words, setWords] = useState("");
  return (
    <Dialog title={t("release.title")} isOpen onClose={onClose}>
      <Form
        problem={release.error}
        onSubmit={() =>
          release.mutate(
            {
              params: { radiographId: radiograph.id },
              ifMatch: radiograph.version,
              body: { words },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button look="primary" type="submit" isBusy={release.isPending}>
              {t("release.title")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("release.lead")}</p>
        <TextArea
          label={t("release.words")}
          name="words"
          hint={t("release.wordsHint")}
          required
          maxLength={500}
          rows={4}
          value={words}
          onChange={setWords}
        />
      </Form>
    </Dialog>
  );
};

const Release = ({ radiograph }: { readonly radiograph: RadiographView }) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const isVet = useIsRole("vet");
  const [isOpen, setOpen] = useState(false);
  if (radiograph.releasedAt !== null)
    return (
      <p className="quiet small row">
        <UserRoundCheck aria-hidden width="1.1em" />
        {t("release.done", {
          name: radiograph.releasedBy?.name ?? "",
          when: format.dateTime(radiograph.releasedAt),
        })}
      </p>
    );
  if (!isVet) return <p className="quiet small">{t("release.notYet")}</p>;
  return (
    <div className="stack-tight">
      <div>
        <Button
          icon={<Send aria-hidden />}
          disabled={radiograph.sideConfirmedBy === null}
          onClick={() => setOpen(true)}
        >
          {t("release.title")}
        </Button>
      </div>
      {radiograph.sideConfirmedBy === null ? (
        <p className="quiet small">{t("release.needsSide")}</p>
      ) : null}
      {isOpen ? <ReleaseDialog radiograph={radiograph} onClose={() => setOpen(false)} /> : null}
    </div>
  );
};

/** The film as picture, page, report and table, and its release to the owner. */
export const TakeOutCard = ({ radiograph }: { readonly radiograph: RadiographView }) => {
  const { t } = useTranslation("radiographs");
  const isFarrier = useIsRole("farrier");
  const params = { radiographId: radiograph.id };
  const files = [
    ["picture", addressOf("readAnnotatedFilm", { params }), "png", FileImage],
    ["page", addressOf("readFilmReport", { params }), "pdf", FileText],
    // The structured report goes into the practice's archive of pictures; a farrier has none.
    ...(isFarrier || radiograph.landmarkSetCount === 0
      ? []
      : [["report", addressOf("readStructuredReport", { params }), "dcm", FileCode2] as const]),
    [
      "table",
      addressOf("readMeasurementsCsv", { params: { caseId: radiograph.caseId } }),
      "csv",
      Table2,
    ],
  ] as const;
  const name = `film-${radiograph.foot}-${radiograph.takenAt.slice(0, 10)}`;
  return (
    <Card title={t("takeOut.title")}>
      <div className="stack">
        <ul className={styles["files"]}>
          {files.map(([what, href, ending, Icon]) => (
            <li key={what}>
              <a href={href} download={`${name}.${ending}`} className={styles["file"]}>
                <Icon aria-hidden />
                <span>
                  <strong>{t(`takeOut.${what}`)}</strong>
                  <span className="quiet small">{t(`takeOut.${what}Hint`)}</span>
                </span>
              </a>
            </li>
          ))}
        </ul>
        <Release radiograph={radiograph} />
      </div>
    </Card>
  );
};
