import { Mic, Square } from "lucide-react";
import { useEffect, useRef, useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf, call, newKey } from "../../api/client.ts";
import { Button } from "../../components/button.tsx";
import { ErrorState } from "../../components/states.tsx";
import styles from "./shoeing.module.css";

/** What browsers record in, best first; each may be kept. */
const TYPES = ["audio/webm;codecs=opus", "audio/mp4", "audio/ogg;codecs=opus"];
const SECOND_MS = 1000;

/** Speaks a note instead of typing it: one tap starts, one keeps. It becomes a document of the horse. */
export const VoiceNote = ({
  horseId,
  ids,
  onAdd,
}: {
  readonly horseId: string;
  readonly ids: readonly string[];
  readonly onAdd: (documentId: string) => void;
}) => {
  const { t } = useTranslation("offline");
  const recorder = useRef<MediaRecorder>(undefined);
  const [startedAtMs, setStartedAtMs] = useState<number>();
  const [seconds, setSeconds] = useState(0);
  const [isMissing, setMissing] = useState(false);
  const [error, setError] = useState<Error>();
  useEffect(() => {
    if (startedAtMs === undefined) return undefined;
    const timer = setInterval(
      () => setSeconds(Math.floor((Date.now() - startedAtMs) / SECOND_MS)),
      SECOND_MS / 2,
    );
    return () => clearInterval(timer);
  }, [startedAtMs]);
  useEffect(
    () => () => {
      for (const track of recorder.current?.stream.getTracks() ?? []) track.stop();
    },
    [],
  );
  const keep = async (blob: Blob, takenAt: string) => {
    try {
      const added = await call("addDocument", {
        params: { horseId },
        file: blob,
        body: {
          ...(typeof crypto.randomUUID === "function" ? { id: newKey() } : {}),
          kind: "voice note",
          takenAt,
        },
      });
      onAdd(added.id);
    } catch (thrown) {
      setError(thrown instanceof Error ? thrown : new Error(String(thrown)));
    }
  };
  const start = async () => {
    setError(undefined);
    const devices = navigator.mediaDevices as MediaDevices | undefined;
    const type = TYPES.find((one) => MediaRecorder.isTypeSupported(one));
    if (devices === undefined || type === undefined) throw new Error("no microphone");
    const stream = await devices.getUserMedia({ audio: true });
    const takenAt = new Date().toISOString();
    const parts: Blob[] = [];
    const made = new MediaRecorder(stream, { mimeType: type });
    made.addEventListener("dataavailable", ({ data }) => void parts.push(data));
    made.addEventListener("stop", () => {
      for (const track of stream.getTracks()) track.stop();
      setStartedAtMs(undefined);
      void keep(new Blob(parts, { type: type.split(";")[0] ?? type }), takenAt);
    });
    made.start();
    recorder.current = made;
    setSeconds(0);
    setStartedAtMs(Date.now());
  };
  const isRunning = startedAtMs !== undefined;
  return (
    <div className="stack-tight">
      <Button
        size="large"
        isWide
        className={styles["wideAction"]}
        look={isRunning ? "danger" : "plain"}
        icon={isRunning ? <Square aria-hidden /> : <Mic aria-hidden />}
        onClick={() => {
          if (isRunning) recorder.current?.stop();
          else start().catch(() => setMissing(true));
        }}
      >
        {isRunning ? `${t("voice.stop")} · ${t("voice.running", { seconds })}` : t("voice.start")}
      </Button>
      <p className="quiet small">{isMissing ? t("voice.none") : t("voice.hint")}</p>
      {ids.map((documentId, index) => (
        <figure key={documentId} className={styles["voice"]}>
          <figcaption>{t("voice.kept", { number: index + 1 })}</figcaption>
          {/* A person's own words, just spoken: there is no text of them to caption with. */}
          {/* oxlint-disable-next-line jsx-a11y/media-has-caption */}
          <audio
            controls
            preload="metadata"
            src={addressOf("readDocumentContent", { params: { documentId } })}
          />
        </figure>
      ))}
      {error === undefined ? null : <ErrorState error={error} />}
    </div>
  );
};
