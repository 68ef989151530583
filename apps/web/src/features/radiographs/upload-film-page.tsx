import type { FilmView } from "@heelward/domain/geometry";
import { FileImage, Upload } from "lucide-react";
import { type DragEvent, useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useGo, useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField } from "../../components/field.tsx";
import { FeetPicker, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { typedNumber, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import styles from "./film-list.module.css";
import { useCase } from "./queries.ts";
import { type SetUp, SetUpFields } from "./set-up-fields.tsx";

const KINDS = ".dcm,.dicom,.png,.jpg,.jpeg,application/dicom,image/png,image/jpeg";

const FileDrop = ({
  file,
  onFile,
}: {
  readonly file: File | undefined;
  readonly onFile: (file: File) => void;
}) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const [isOver, setOver] = useState(false);
  const take = (list: FileList | null) => {
    const [first] = list ?? [];
    if (first !== undefined) onFile(first);
  };
  const over = (is: boolean) => (event: DragEvent) => {
    event.preventDefault();
    setOver(is);
  };
  return (
    // Dropping a file is a second way; choosing one by the button inside works for everybody.
    // oxlint-disable-next-line jsx-a11y/no-noninteractive-element-interactions
    <label
      className={styles["drop"]}
      data-over={isOver}
      onDragOver={over(true)}
      onDragLeave={over(false)}
      onDrop={(event) => {
        over(false)(event);
        take(event.dataTransfer.files);
      }}
    >
      {file === undefined ? <Upload aria-hidden /> : <FileImage aria-hidden />}
      <strong>{file?.name ?? t("chooseFile")}</strong>
      <span className="quiet small">
        {file === undefined
          ? t("fileKinds")
          : t("fileSize", { size: format.number(file.size / 1_048_576, 1) })}
      </span>
      <input
        type="file"
        accept={KINDS}
        aria-label={t("chooseFile")}
        onChange={(event) => take(event.target.files)}
      />
    </label>
  );
};

/** One film with what must be known about how it was taken. */
export const UploadFilmPage = () => {
  const { t } = useTranslation(["radiographs", "common"]);
  const caseId = useParam("caseId");
  const found = useCase(caseId);
  const go = useGo();
  const add = useWrite("addRadiograph");
  const [file, setFile] = useState<File>();
  const [feet, setFeet] = useState<readonly FootName[]>([]);
  const [draft, set] = useDraft<{ view: FilmView; takenAt: string }>({
    view: "lateromedial",
    takenAt: "",
  });
  const [setUp, setSetUp] = useState<SetUp>({
    wedgeDegrees: "0",
    beamCentring: "not recorded",
    shod: "false",
    groundLineOn: "ground",
    positionCard: [],
  });
  const send = () => {
    if (file === undefined) return;
    const [foot] = feet;
    add.mutate(
      {
        params: { caseId },
        file,
        body: {
          view: draft.view,
          ...(foot === undefined ? {} : { foot }),
          ...(draft.takenAt === "" ? {} : { takenAt: draft.takenAt }),
          wedgeDegrees: typedNumber(setUp.wedgeDegrees) ?? 0,
          beamCentring: setUp.beamCentring,
          shod: setUp.shod,
          groundLineOn: setUp.groundLineOn,
          positionCard: setUp.positionCard.join(","),
        },
      },
      { onSuccess: (film) => go(`/films/${film.id}`) },
    );
  };
  return (
    <>
      <PageHeader
        title={t("addTitle", { horse: found.data?.horse.name ?? "" })}
        lead={t("addLead")}
        back={{ href: `/cases/${caseId}/films`, label: t("toFilms") }}
      />
      <Card>
        <Form
          problem={add.error}
          onSubmit={send}
          footer={
            <>
              <Button
                look="primary"
                type="submit"
                icon={<Upload aria-hidden />}
                isBusy={add.isPending}
                disabled={file === undefined || feet.length === 0}
              >
                {add.isPending ? t("reading") : t("addAction")}
              </Button>
              {feet.length === 0 ? <span className="quiet small">{t("chooseFoot")}</span> : null}
            </>
          }
        >
          <FileDrop file={file} onFile={setFile} />
          <div className="columns">
            <FeetPicker label={t("whichFoot")} value={feet} onChange={setFeet} isSingle />
            <div className="stack">
              <ChoiceField
                label={t("viewLabel")}
                name="view"
                value={draft.view}
                onChange={set("view")}
                options={[
                  { value: "lateromedial", label: t("view.lateromedial") },
                  { value: "dorsopalmar", label: t("view.dorsopalmar") },
                ]}
              />
              <MomentField
                label={t("takenAt")}
                name="takenAt"
                hint={t("takenAtHint")}
                value={draft.takenAt}
                onChange={set("takenAt")}
              />
            </div>
          </div>
          <SetUpFields value={setUp} onChange={setSetUp} />
        </Form>
      </Card>
    </>
  );
};
