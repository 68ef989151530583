import { Camera } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf, call } from "../../api/client.ts";
import { ErrorState } from "../../components/states.tsx";
import { nowIn } from "../../language/wall-clock.ts";
import { useTimeZone } from "../../language/time-zone.ts";
import styles from "./shoeing.module.css";

/** Photos first, words later: each is sent as soon as it is taken. */
export const Photos = ({
  horseId,
  ids,
  onChange,
}: {
  readonly horseId: string;
  readonly ids: readonly string[];
  readonly onChange: (add: string) => void;
}) => {
  const { t } = useTranslation("shoeing");
  const timeZone = useTimeZone();
  const [sending, setSending] = useState(0);
  const [error, setError] = useState<Error>();
  const send = async (file: File) => {
    setSending((count) => count + 1);
    setError(undefined);
    try {
      const added = await call("addDocument", {
        params: { horseId },
        file,
        body: { kind: "photo", takenAt: nowIn(timeZone) },
      });
      onChange(added.id);
    } catch (thrown) {
      setError(thrown instanceof Error ? thrown : new Error(String(thrown)));
    } finally {
      setSending((count) => count - 1);
    }
  };
  return (
    <div className="stack-tight">
      <p className="quiet small">{t("photosHint")}</p>
      <div className={styles["photos"]}>
        {ids.map((documentId, index) => (
          <img
            key={documentId}
            src={addressOf("readDocumentContent", { params: { documentId } })}
            alt={t("photo", { number: index + 1 })}
          />
        ))}
        <label className={styles["camera"]} aria-busy={sending > 0}>
          <Camera aria-hidden />
          {sending > 0 ? t("sending", { count: sending }) : t("takePhoto")}
          <input
            type="file"
            accept="image/jpeg,image/png"
            multiple
            onChange={(event) => {
              for (const file of event.target.files ?? []) void send(file);
              event.target.value = "";
            }}
          />
        </label>
      </div>
      {error === undefined ? null : <ErrorState error={error} />}
    </div>
  );
};
