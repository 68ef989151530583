import type { RadiographView } from "@heelward/contracts";
import { Save } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { useGo } from "../../../app/use-address.ts";
import { Button } from "../../../components/button.tsx";
import { ErrorState } from "../../../components/states.tsx";
import type { Points } from "../workbench/machine/workbench.ts";
import styles from "../workbench/workbench.module.css";

/** Keeps one more reading for the study; the film's own measures stay as they are. */
export const ReadingBar = ({
  radiograph,
  points,
  onSaved,
}: {
  readonly radiograph: RadiographView;
  readonly points: Points;
  readonly onSaved: (points: Points) => void;
}) => {
  const { t } = useTranslation("radiographs");
  const go = useGo();
  const place = useWrite("placeRepeatReading");
  const count = Object.keys(points).length;
  if (place.data !== undefined)
    return (
      <output className={styles["save"]}>
        <p>{t("study.kept", { count: place.data.myReadings })}</p>
        <div className="row">
          <Button onClick={() => go(`/films/${radiograph.id}`)}>{t("study.toFilm")}</Button>
        </div>
      </output>
    );
  return (
    <div className={styles["save"]}>
      {place.error === null ? null : <ErrorState error={place.error} />}
      <div className="row">
        <Button
          look="primary"
          icon={<Save aria-hidden />}
          isBusy={place.isPending}
          disabled={count < 2}
          onClick={() =>
            place.mutate(
              { params: { radiographId: radiograph.id }, body: { points: { ...points } } },
              { onSuccess: () => onSaved(points) },
            )
          }
        >
          {t("study.keep")}
        </Button>
        <span className="quiet small">{t("notKept", { count })}</span>
      </div>
    </div>
  );
};
