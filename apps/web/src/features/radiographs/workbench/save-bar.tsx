import type { RadiographView } from "@heelward/contracts";
import { Save } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { TextField } from "../../../components/field.tsx";
import { Findings } from "../../../components/findings.tsx";
import { ErrorState } from "../../../components/states.tsx";
import { typedText } from "../../../components/use-draft.ts";
import { hasUnsaved, type Points, type Workbench } from "./machine/workbench.ts";
import { useMarksCheck } from "./use-marks-check.ts";
import styles from "./workbench.module.css";

/** Keeps the marks as a new set; earlier sets stay. What the rules say against them is shown here. */
export const SaveBar = ({
  radiograph,
  state,
  onSaved,
}: {
  readonly radiograph: RadiographView;
  readonly state: Workbench;
  readonly onSaved: (points: Points) => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const [note, setNote] = useState("");
  const place = useWrite("placeLandmarks");
  const isNew = hasUnsaved(state);
  const count = Object.keys(state.points).length;
  const check = useMarksCheck(radiograph, state.points, isNew && state.grab === undefined);
  if (!isNew && place.error === null) return null;
  const save = () => {
    const { points } = state;
    const text = typedText(note);
    place.mutate(
      {
        params: { radiographId: radiograph.id },
        body: { points: { ...points }, ...(text === undefined ? {} : { note: text }) },
      },
      {
        onSuccess: () => {
          setNote("");
          onSaved(points);
        },
      },
    );
  };
  return (
    <div className={styles["save"]}>
      {place.error === null ? null : <ErrorState error={place.error} />}
      {place.error === null && check.data !== undefined ? (
        <div aria-live="polite">
          <Findings findings={check.data.findings} hidePasses />
        </div>
      ) : null}
      <details>
        <summary className="small">{t("note")}</summary>
        <TextField
          label={<span className="only-read">{t("note")}</span>}
          value={note}
          onChange={setNote}
          maxLength={500}
        />
      </details>
      <div className="row">
        <Button
          look="primary"
          icon={<Save aria-hidden />}
          isBusy={place.isPending}
          disabled={count < 2 || check.data?.mayBeKept === false}
          onClick={save}
        >
          {t("keepMarks")}
        </Button>
        <span className="quiet small">{t("notKept", { count })}</span>
      </div>
    </div>
  );
};
