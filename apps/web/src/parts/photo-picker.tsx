import { Camera } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf, call } from "../api/client.ts";
import { ErrorState } from "../components/states.tsx";
import { nowIn } from "../language/wall-clock.ts";
import { useTimeZone } from "../language/time-zone.ts";
import styles from "./photo-picker.module.css";

/** Pictures that are kept already, small. */
export const PhotoStrip = ({ ids }: { readonly ids: readonly string[] }) => {
  const { t } = useTranslation("procedures");
  return ids.length === 0 ? null : (
    <div className={styles["strip"]}>
      {ids.map((documentId, index) => (
        <img
          key={documentId}
          src={addressOf("readDocumentContent", { params: { documentId } })}
          alt={t("photo", { number: index + 1 })}
        />
      ))}
    </div>
  );
};

/** Photos of a horse, each kept as soon as it is chosen. */
export const PhotoPicker = ({
  horseId,
  ids,
  onAdd,
}: {
  readonly horseId: string;
  readonly ids: readonly string[];
  readonly onAdd: (id: string) => void;
}) => {
  const { t } = useTranslation("procedures");
  const timeZone = useTimeZone();
  const [isSending, setSending] = useState(false);
  const [error, setError] = useState<Error>();
  const send = async (files: readonly File[]) => {
    setSending(true);
    setError(undefined);
    try {
      for (const file of files) {
        // One picture after the other, in the order they were chosen.
        // oxlint-disable-next-line no-await-in-loop
        const added = await call("addDocument", {
          params: { horseId },
          file,
          body: { kind: "photo", takenAt: nowIn(timeZone) },
        });
        onAdd(added.id);
      }
    } catch (thrown) {
      setError(thrown instanceof Error ? thrown : new Error(String(thrown)));
    } finally {
      setSending(false);
    }
  };
  return (
    <div className="stack-tight">
      <PhotoStrip ids={ids} />
      <label className={styles["picker"]} aria-busy={isSending}>
        <Camera aria-hidden /> {t("takePhoto")}
        <input
          type="file"
          accept="image/jpeg,image/png"
          multiple
          disabled={isSending}
          onChange={(event) => {
            void send([...(event.target.files ?? [])]);
            event.target.value = "";
          }}
        />
      </label>
      {error === undefined ? null : <ErrorState error={error} />}
    </div>
  );
};
