import { memo, useState } from "react";
import type {
  FilmFigures,
  FilmOutline,
  LandmarkSetView,
  RadiographView,
} from "@heelward/contracts";
import { Eraser, PencilLine, Scissors } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { useIsRole } from "../../../app/current-session.tsx";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { Findings } from "../../../components/findings.tsx";
import { ErrorState } from "../../../components/states.tsx";
import { useFormat } from "../../../language/format.ts";
import { AskOpeningDialog } from "../opening/ask-opening-dialog.tsx";
import type { Drawing, DrawingEvent } from "./drawing.ts";
import { DrawingInHand } from "./drawing-in-hand.tsx";
import styles from "./drawing.module.css";
import { ExtentList } from "./extent.tsx";
import { COLOURS, type DrawnKind, isClosed } from "./kinds.ts";

const LINES = ["trim line", "device outline", "note"] as const satisfies readonly DrawnKind[];

const Drawn = ({
  radiograph,
  one,
  mayChange,
  onEvent,
}: {
  readonly radiograph: RadiographView;
  readonly one: FilmOutline;
  readonly mayChange: boolean;
  readonly onEvent: (event: DrawingEvent) => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const format = useFormat();
  const remove = useWrite("removeFilmOutline");
  const [asks, setAsks] = useState(false);
  return (
    <li className={styles["drawn"]}>
      <div>
        <span className={styles["swatch"]} style={{ color: COLOURS[one.kind] }} aria-hidden />{" "}
        <strong>{t(`draw.kinds.${one.kind}`)}</strong>
        {one.label === null ? null : `: ${one.label}`}
        <p className="quiet small">
          {t("setBy", { name: one.drawnBy.name, when: format.dateTime(one.drawnAt) })}
        </p>
      </div>
      {isClosed(one.kind) ? (
        <>
          <ExtentList {...one} />
          <Findings findings={one.findings} />
        </>
      ) : null}
      {remove.error === null ? null : <ErrorState error={remove.error} />}
      <div className="row">
        {isClosed(one.kind) ? (
          <Button icon={<Scissors aria-hidden />} onClick={() => setAsks(true)}>
            {t("opening.ask")}
          </Button>
        ) : null}
        {mayChange ? (
          <>
            <Button
              look="quiet"
              icon={<PencilLine aria-hidden />}
              onClick={() =>
                onEvent({
                  type: "begin",
                  kind: one.kind,
                  points: one.points,
                  replacesId: one.id,
                })
              }
            >
              {t("draw.anew")}
            </Button>
            <Button
              look="quiet"
              icon={<Eraser aria-hidden />}
              isBusy={remove.isPending}
              onClick={() => remove.mutate({ params: { outlineId: one.id } })}
            >
              {t("draw.takeOff")}
            </Button>
          </>
        ) : null}
      </div>
      {asks ? (
        <AskOpeningDialog radiograph={radiograph} outline={one} onClose={() => setAsks(false)} />
      ) : null}
    </li>
  );
};

/** What is drawn on the film: trim line, device, note, and the outline of a dark shadow with its extent. */
export const DrawingsCard = memo(
  ({
    radiograph,
    set,
    outlines,
    drawing,
    onEvent,
    figures,
  }: {
    readonly radiograph: RadiographView;
    readonly set: LandmarkSetView | undefined;
    readonly outlines: readonly FilmOutline[];
    readonly drawing: Drawing | undefined;
    readonly onEvent: (event: DrawingEvent) => void;
    readonly figures: FilmFigures;
  }) => {
    const { t } = useTranslation(["radiographs", "common"]);
    const isVet = useIsRole("vet");
    const isFarrier = useIsRole("farrier");
    const mayDraw = isVet || isFarrier;
    const kinds: readonly DrawnKind[] =
      isVet && radiograph.view === "lateromedial" ? ["lucent line", ...LINES] : LINES;
    return (
      <Card title={t("draw.title")}>
        {drawing === undefined ? (
          <div className="stack">
            {outlines.length === 0 ? (
              <p className="quiet small">{t("draw.none")}</p>
            ) : (
              <ul>
                {outlines.map((one) => (
                  <Drawn
                    key={one.id}
                    radiograph={radiograph}
                    one={one}
                    mayChange={isClosed(one.kind) ? isVet : mayDraw}
                    onEvent={onEvent}
                  />
                ))}
              </ul>
            )}
            {mayDraw ? (
              <div className="row">
                {kinds.map((kind) => (
                  <Button key={kind} look="quiet" onClick={() => onEvent({ type: "begin", kind })}>
                    <span
                      className={styles["swatch"]}
                      style={{ color: COLOURS[kind] }}
                      aria-hidden
                    />
                    {t(`draw.kinds.${kind}`)}
                  </Button>
                ))}
              </div>
            ) : null}
          </div>
        ) : (
          <DrawingInHand
            radiograph={radiograph}
            set={set}
            drawing={drawing}
            onEvent={onEvent}
            figures={figures}
          />
        )}
      </Card>
    );
  },
);
