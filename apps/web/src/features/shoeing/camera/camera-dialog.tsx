import type { DocumentView, PhotoView } from "@heelward/contracts";
import { Camera, Check, Eye, EyeOff, RotateCcw, TriangleAlert, X } from "lucide-react";
import { type ChangeEvent, useCallback, useEffect, useRef, useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../../api/client.ts";
import { Button } from "../../../components/button.tsx";
import { useFormat } from "../../../language/format.ts";
import styles from "./camera.module.css";
import { ghostOutline } from "./ghost-outline.ts";
import { type Fault, faultsOf, greyOf, JUDGED_AT_PX, QUALITY } from "./photo-quality.ts";
import { tiltDegrees } from "./tilt.ts";

/** One picture that was kept, with what is wrong with it. */
export interface Shot {
  readonly view: PhotoView;
  readonly blob: Blob;
  readonly faults: readonly Fault[];
}

const LONGEST_SIDE_PX = 2400;
/** Below this many pixels the outline is drawn; it is stretched over the picture. */
const GHOST_PX = 480;

const draw = (source: CanvasImageSource, widthPx: number, heightPx: number, mostPx: number) => {
  const scale = Math.min(1, mostPx / Math.max(widthPx, heightPx));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(widthPx * scale));
  canvas.height = Math.max(1, Math.round(heightPx * scale));
  canvas.getContext("2d")?.drawImage(source, 0, 0, canvas.width, canvas.height);
  return canvas;
};

const greyFrom = (canvas: HTMLCanvasElement) => {
  const { width, height } = canvas;
  const data = canvas.getContext("2d")?.getImageData(0, 0, width, height).data;
  return greyOf(data ?? new Uint8ClampedArray(width * height * 4), width, height);
};

const toJpeg = (canvas: HTMLCanvasElement): Promise<Blob> =>
  new Promise((resolve, reject) => {
    canvas.toBlob(
      (blob) => (blob === null ? reject(new Error("no picture")) : resolve(blob)),
      "image/jpeg",
      0.85,
    );
  });

/** The phone's tilt in degrees; null where it says none. */
const useTilt = (): number | null => {
  const [tilt, setTilt] = useState<number | null>(null);
  useEffect(() => {
    const hear = ({ beta, gamma }: DeviceOrientationEvent) => {
      if (beta !== null && gamma !== null) setTilt(tiltDegrees(beta, gamma));
    };
    window.addEventListener("deviceorientation", hear);
    return () => window.removeEventListener("deviceorientation", hear);
  }, []);
  return tilt;
};

/** The back camera's picture in a video element; `failed` where there is none or it is refused. */
const useCamera = () => {
  const video = useRef<HTMLVideoElement>(null);
  const [state, setState] = useState<"starting" | "running" | "failed">("starting");
  useEffect(() => {
    let stream: MediaStream | undefined;
    let isOver = false;
    const start = async () => {
      // Missing on plain http.
      const devices = navigator.mediaDevices as MediaDevices | undefined;
      if (devices === undefined) throw new Error("no camera");
      stream = await devices.getUserMedia({
        video: { facingMode: { ideal: "environment" }, width: { ideal: 2400 } },
      });
      const element = video.current;
      if (isOver || element === null) {
        for (const track of stream.getTracks()) track.stop();
        return;
      }
      element.srcObject = stream;
      await element.play();
      setState("running");
    };
    start().catch(() => {
      if (!isOver) setState("failed");
    });
    return () => {
      isOver = true;
      for (const track of stream?.getTracks() ?? []) track.stop();
    };
  }, []);
  return { video, state };
};

/** Draws the outline of the last photo over the camera's picture. */
const Ghost = ({ photo }: { readonly photo: DocumentView }) => {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const image = new Image();
    image.addEventListener("load", () => {
      const target = canvas.current;
      const context = target?.getContext("2d");
      if (target === null || context === null || context === undefined) return;
      const small = draw(image, image.naturalWidth, image.naturalHeight, GHOST_PX);
      const alpha = ghostOutline(greyFrom(small));
      target.width = small.width;
      target.height = small.height;
      const picture = context.createImageData(small.width, small.height);
      for (const [index, one] of alpha.entries()) {
        picture.data.set([255, 214, 10, one], index * 4);
      }
      context.putImageData(picture, 0, 0);
    });
    image.src = addressOf("readDocumentContent", { params: { documentId: photo.id } });
  }, [photo.id]);
  return <canvas ref={canvas} className={styles["ghost"]} aria-hidden data-ghost={photo.id} />;
};

const SOLE = /sole|shoe/;

/**
 * Takes the photos of a visit one after the other, each over the outline of the last one of its view.
 * A poor shot is flagged and may be kept.
 */
export const CameraDialog = ({
  views,
  lastOf,
  onShot,
  onClose,
}: {
  /** Views still to take, in order. */
  readonly views: readonly PhotoView[];
  readonly lastOf: (view: PhotoView) => DocumentView | undefined;
  readonly onShot: (shot: Shot) => void;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["offline", "common"]);
  const format = useFormat();
  const dialog = useRef<HTMLDialogElement>(null);
  const { video, state } = useCamera();
  const tilt = useTilt();
  const [index, setIndex] = useState(0);
  const [showsGhost, setShowsGhost] = useState(true);
  const [poor, setPoor] = useState<Shot & { readonly tilt: number | null }>();
  // One press takes one picture, also with a glove that trembles.
  const [isJudging, setJudging] = useState(false);
  const view = views[index];
  const last = view === undefined ? undefined : lastOf(view);
  useEffect(() => {
    const element = dialog.current;
    element?.showModal();
    return () => element?.close();
  }, []);
  const accept = useCallback(
    (shot: Shot) => {
      setPoor(undefined);
      onShot(shot);
      if (index + 1 >= views.length) onClose();
      else setIndex(index + 1);
    },
    [index, views.length, onShot, onClose],
  );
  const judge = async (canvas: HTMLCanvasElement, tiltNow: number | null) => {
    if (view === undefined) return;
    const small = draw(canvas, canvas.width, canvas.height, JUDGED_AT_PX);
    // A sole is looked at from wherever the foot is held.
    const tiltSeen = SOLE.test(view) ? null : tiltNow;
    const faults = faultsOf(greyFrom(small), tiltSeen);
    const shot = { view, blob: await toJpeg(canvas), faults };
    if (faults.length === 0) accept(shot);
    else setPoor({ ...shot, tilt: tiltSeen });
  };
  const shoot = () => {
    const element = video.current;
    if (element === null) return;
    setJudging(true);
    void judge(
      draw(element, element.videoWidth, element.videoHeight, LONGEST_SIDE_PX),
      tilt,
    ).finally(() => setJudging(false));
  };
  const choose = ({ target }: ChangeEvent<HTMLInputElement>) => {
    const file = target.files?.[0];
    target.value = "";
    if (file === undefined) return;
    void createImageBitmap(file).then((bitmap) =>
      judge(draw(bitmap, bitmap.width, bitmap.height, LONGEST_SIDE_PX), null),
    );
  };
  if (view === undefined) return null;
  const isLevel = tilt !== null && tilt <= QUALITY.mostTiltDegrees;
  return (
    <dialog
      ref={dialog}
      className={styles["dialog"]}
      aria-label={t(`camera.view.${view}`)}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <header className={styles["head"]}>
        <div>
          <h2>{t(`camera.view.${view}`)}</h2>
          <p>
            {t("camera.progress", { number: index + 1, of: views.length })}
            {" · "}
            {last === undefined
              ? t("camera.noGhost")
              : t("camera.ghost", { date: format.day(last.takenAt) })}
          </p>
        </div>
        <button
          type="button"
          className={styles["round"]}
          aria-label={t("common:close")}
          onClick={onClose}
        >
          <X aria-hidden />
        </button>
      </header>
      <div className={styles["stage"]}>
        <video ref={video} className={styles["video"]} playsInline muted />
        {last !== undefined && showsGhost && poor === undefined ? <Ghost photo={last} /> : null}
        {state === "failed" ? <p className={styles["none"]}>{t("camera.noCamera")}</p> : null}
        {SOLE.test(view) || poor !== undefined ? null : (
          <p className={styles["tilt"]} data-level={tilt === null ? "unknown" : isLevel}>
            {tilt === null
              ? t("camera.noTilt")
              : isLevel
                ? t("camera.level")
                : t("camera.tilted", { degrees: Math.round(tilt) })}
          </p>
        )}
        {poor === undefined ? null : (
          <div className={styles["poor"]} role="alert">
            <TriangleAlert aria-hidden />
            <p>
              {poor.faults
                .map((fault) =>
                  fault === "tilted"
                    ? t("camera.tiltedShot", { degrees: Math.round(poor.tilt ?? 0) })
                    : t(`camera.${fault}`),
                )
                .join(" ")}
            </p>
          </div>
        )}
      </div>
      <footer className={styles["foot"]}>
        {poor === undefined ? (
          <>
            {last === undefined ? (
              <span />
            ) : (
              <button
                type="button"
                className={styles["round"]}
                aria-label={t(showsGhost ? "camera.ghostOff" : "camera.ghostOn")}
                onClick={() => setShowsGhost(!showsGhost)}
              >
                {showsGhost ? <EyeOff aria-hidden /> : <Eye aria-hidden />}
              </button>
            )}
            {state === "failed" ? (
              <label className={styles["choose"]}>
                {t("camera.choose")}
                <input
                  type="file"
                  accept="image/jpeg,image/png"
                  capture="environment"
                  onChange={choose}
                />
              </label>
            ) : (
              <button
                type="button"
                className={styles["shutter"]}
                aria-label={t("camera.take")}
                disabled={state !== "running" || isJudging}
                onClick={shoot}
              >
                <Camera aria-hidden />
              </button>
            )}
            <span />
          </>
        ) : (
          <div className={styles["decide"]}>
            <Button
              size="large"
              icon={<RotateCcw aria-hidden />}
              onClick={() => setPoor(undefined)}
            >
              {t("camera.again")}
            </Button>
            <Button
              size="large"
              look="primary"
              icon={<Check aria-hidden />}
              onClick={() => accept(poor)}
            >
              {t("camera.keep")}
            </Button>
          </div>
        )}
      </footer>
    </dialog>
  );
};
