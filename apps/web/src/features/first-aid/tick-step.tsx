import type { FirstAidSheet } from "@heelward/contracts";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { Camera, Check } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call, newKey } from "../../api/client.ts";
import { Button } from "../../components/button.tsx";
import buttonStyles from "../../components/button.module.css";
import { classNames } from "../../components/class-names.ts";
import { ErrorState } from "../../components/states.tsx";
import { useTimeZone } from "../../language/time-zone.ts";
import { nowIn } from "../../language/wall-clock.ts";
import styles from "./sheet.module.css";

interface Tick {
  readonly doneAt: string;
  readonly photo: File | null;
  readonly keys: { readonly photo: string; readonly tick: string };
}

/** First the photo, then the tick that names it; trying again repeats neither. */
const sendTick = async (sheet: FirstAidSheet, stepId: string, { doneAt, photo, keys }: Tick) => {
  const kept =
    photo === null
      ? undefined
      : await call(
          "addDocument",
          {
            params: { horseId: sheet.horse.id },
            file: photo,
            body: { kind: "photo", takenAt: doneAt },
          },
          { key: keys.photo },
        );
  return call(
    "tickFirstAid",
    {
      params: { sheetId: sheet.id },
      body: { stepId, doneAt, ...(kept && { photoId: kept.id }) },
    },
    { key: keys.tick },
  );
};

/** Ticks one step as done, with a photo where one is asked for. */
export const TickStep = ({
  sheet,
  stepId,
  wantsPhoto,
}: {
  readonly sheet: FirstAidSheet;
  readonly stepId: string;
  readonly wantsPhoto: boolean;
}) => {
  const { t } = useTranslation("firstAid");
  const client = useQueryClient();
  const timeZone = useTimeZone();
  const [photo, setPhoto] = useState<File | null>(null);
  const [keys] = useState(() => ({ photo: newKey(), tick: newKey() }));
  const tick = useMutation({
    mutationFn: (input: Tick) => sendTick(sheet, stepId, input),
    onSuccess: () => client.invalidateQueries(),
  });
  const label = photo === null ? t("photoAsked") : t("photoReady");
  return (
    <div className={styles["actions"]}>
      {wantsPhoto ? (
        <label
          className={classNames(
            buttonStyles["button"],
            photo === null ? undefined : buttonStyles["quiet"],
            styles["camera"],
          )}
        >
          <Camera aria-hidden />
          {label}
          <input
            type="file"
            accept="image/jpeg,image/png"
            capture="environment"
            onChange={(event) => setPhoto(event.target.files?.[0] ?? null)}
          />
        </label>
      ) : null}
      <Button
        look="primary"
        icon={<Check aria-hidden />}
        isBusy={tick.isPending}
        onClick={() => tick.mutate(tick.variables ?? { doneAt: nowIn(timeZone), photo, keys })}
      >
        {t("tick")}
      </Button>
      {tick.error === null ? null : <ErrorState error={tick.error} />}
    </div>
  );
};
