import type { DocumentView, PhotoView } from "@heelward/contracts";
import { Camera, Check, ImageUp, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf, call, newKey } from "../../api/client.ts";
import { Button } from "../../components/button.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";
import { ErrorState } from "../../components/states.tsx";
import type { KeptShot } from "./as-done.ts";
import type { Shot } from "./camera/camera-dialog.tsx";
import { useDocuments } from "./queries.ts";
import styles from "./shoeing.module.css";

const CameraDialog = lazyPart(() =>
  import("./camera/camera-dialog.tsx").then((m) => m.CameraDialog),
);

/** A document's id chosen here, so that the record can name it before it is sent. Plain http has none to give. */
const newDocumentId = (): { readonly id?: string } =>
  typeof crypto.randomUUID === "function" ? { id: newKey() } : {};

/** The four of the short path, and two more that are taken when wanted. */
const viewsOf = (feet: readonly string[]): readonly PhotoView[] => [
  ...feet.map((foot) => `${foot} side` as PhotoView),
  ...feet.map((foot) => `${foot} sole` as PhotoView),
];
const EXTRA: readonly PhotoView[] = ["front", "shoe"];

const contentOf = (documentId: string): string =>
  addressOf("readDocumentContent", { params: { documentId } });

const Tile = ({
  view,
  shot,
  last,
  onTake,
}: {
  readonly view: PhotoView;
  readonly shot: KeptShot | undefined;
  readonly last: DocumentView | undefined;
  readonly onTake: () => void;
}) => {
  const { t } = useTranslation("offline");
  const words = t(`camera.view.${view}`);
  return (
    <li>
      <button
        type="button"
        className={styles["tile"]}
        data-taken={shot !== undefined}
        onClick={onTake}
      >
        {shot !== undefined ? (
          <img src={contentOf(shot.id)} alt={t("camera.picture", { view: words })} />
        ) : last === undefined ? null : (
          <img className={styles["faint"]} src={contentOf(last.id)} alt="" />
        )}
        <span>
          {shot === undefined ? <Camera aria-hidden /> : <Check aria-hidden />}
          {words}
        </span>
      </button>
      {shot === undefined || shot.faults.length === 0 ? null : (
        <p className={styles["flagged"]}>
          <TriangleAlert aria-hidden />
          {t("camera.poor", {
            faults: shot.faults.map((fault) => t(`camera.poorFaults.${fault}`)).join(", "),
          })}
        </p>
      )}
    </li>
  );
};

/** Photos first, words later: one button takes the set over the outlines of the last ones. */
export const Photos = ({
  horseId,
  feet,
  shots,
  onShot,
}: {
  readonly horseId: string;
  readonly feet: readonly string[];
  readonly shots: readonly KeptShot[];
  readonly onShot: (shot: KeptShot) => void;
}) => {
  const { t } = useTranslation(["shoeing", "offline"]);
  const documents = useDocuments(horseId);
  const [taking, setTaking] = useState<readonly PhotoView[]>();
  const [sending, setSending] = useState(0);
  const [error, setError] = useState<Error>();
  const set = viewsOf(feet);
  const open = set.filter((view) => !shots.some((shot) => shot.view === view));
  const taken = new Set(shots.map((shot) => shot.id));
  const lastOf = (view: PhotoView) =>
    documents.data?.items.find((one) => one.photoView === view && !taken.has(one.id));
  const add = async (view: PhotoView | null, file: Blob, faults: Shot["faults"]) => {
    setSending((count) => count + 1);
    setError(undefined);
    try {
      const caption = faults.map((fault) => t(`offline:camera.poorFaults.${fault}`)).join(", ");
      const added = await call("addDocument", {
        params: { horseId },
        file,
        body: {
          ...newDocumentId(),
          kind: "photo",
          takenAt: new Date().toISOString(),
          ...(view === null ? {} : { photoView: view }),
          ...(caption === "" ? {} : { caption: t("offline:camera.poor", { faults: caption }) }),
        },
      });
      onShot({ id: added.id, view, faults });
    } catch (thrown) {
      setError(thrown instanceof Error ? thrown : new Error(String(thrown)));
    } finally {
      setSending((count) => count - 1);
    }
  };
  return (
    <div className="stack-tight">
      <p className="quiet small">{t("photosHint")}</p>
      {open.length === 0 ? null : (
        <Button
          look="primary"
          size="large"
          isWide
          className={styles["wideAction"]}
          icon={<Camera aria-hidden />}
          onClick={() => setTaking(open)}
        >
          {t("offline:camera.open")}
        </Button>
      )}
      <ul className={styles["tiles"]}>
        {[...set, ...EXTRA].map((view) => (
          <Tile
            key={view}
            view={view}
            shot={shots.findLast((shot) => shot.view === view)}
            last={lastOf(view)}
            onTake={() => setTaking([view])}
          />
        ))}
        {shots
          .filter((shot) => shot.view === null)
          .map((shot, index) => (
            <li key={shot.id}>
              <img
                className={styles["plain"]}
                src={contentOf(shot.id)}
                alt={t("photo", { number: index + 1 })}
              />
            </li>
          ))}
        <li>
          <label className={styles["camera"]} aria-busy={sending > 0}>
            <ImageUp aria-hidden />
            {sending > 0 ? t("sending", { count: sending }) : t("offline:camera.choose")}
            <input
              type="file"
              accept="image/jpeg,image/png"
              multiple
              onChange={(event) => {
                for (const file of event.target.files ?? []) void add(null, file, []);
                event.target.value = "";
              }}
            />
          </label>
        </li>
      </ul>
      {taking === undefined ? null : (
        <CameraDialog
          views={taking}
          lastOf={lastOf}
          onShot={(shot) => void add(shot.view, shot.blob, shot.faults)}
          onClose={() => setTaking(undefined)}
        />
      )}
      {error === undefined ? null : <ErrorState error={error} />}
    </div>
  );
};
