import type { FilmFigures, LandmarkSetView, RadiographView } from "@heelward/contracts";
import { measureLucentLine } from "@heelward/domain/geometry";
import { Save, Trash2, Undo2 } from "lucide-react";
import { useMemo, useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { TextField } from "../../../components/field.tsx";
import { Findings } from "../../../components/findings.tsx";
import { ErrorState } from "../../../components/states.tsx";
import { typedText } from "../../../components/use-draft.ts";
import type { Drawing, DrawingEvent } from "./drawing.ts";
import { ExtentList } from "./extent.tsx";
import { isClosed, leastPoints } from "./kinds.ts";

const useExtent = (
  radiograph: RadiographView,
  set: LandmarkSetView | undefined,
  drawing: Drawing,
  figures: FilmFigures,
) =>
  useMemo(() => {
    const { coronaryBand, wallDistal, markerStart, markerEnd } = set?.points ?? {};
    if (!isClosed(drawing.kind) || drawing.points.length < leastPoints(drawing.kind))
      return undefined;
    if (coronaryBand === undefined || wallDistal === undefined) return undefined;
    return measureLucentLine({
      outline: drawing.points,
      coronaryBand,
      wallDistal,
      markerStart,
      markerEnd,
      scale: radiograph.scale,
      landmarkSpread: figures.landmarkSpread,
    });
  }, [radiograph.scale, set, drawing.kind, drawing.points, figures]);

/** The drawing in hand: what it measures while it grows, and keeping or leaving it. */
export const DrawingInHand = ({
  radiograph,
  set,
  drawing,
  onEvent,
  figures,
}: {
  readonly radiograph: RadiographView;
  /** The marks on record: a shadow is measured along their wall line. */
  readonly set: LandmarkSetView | undefined;
  readonly drawing: Drawing;
  readonly onEvent: (event: DrawingEvent) => void;
  readonly figures: FilmFigures;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const [label, setLabel] = useState("");
  const keep = useWrite("drawFilmOutline");
  const extent = useExtent(radiograph, set, drawing, figures);
  const missing = leastPoints(drawing.kind) - drawing.points.length;
  const save = () => {
    const text = typedText(label);
    keep.mutate(
      {
        params: { radiographId: radiograph.id },
        body: {
          kind: drawing.kind,
          points: drawing.points.map(({ x, y }) => ({ x, y })),
          ...(text === undefined ? {} : { label: text }),
          ...(drawing.replacesId === undefined ? {} : { replacesId: drawing.replacesId }),
        },
      },
      { onSuccess: () => onEvent({ type: "end" }) },
    );
  };
  return (
    <div className="stack-tight">
      <p>
        <strong>{t(`draw.kinds.${drawing.kind}`)}</strong>
        {": "}
        {t("draw.count", { count: drawing.points.length })}
      </p>
      <p className="quiet small">{t(`draw.how.${drawing.kind}`)}</p>
      <div className="row">
        <Button
          look="quiet"
          icon={<Undo2 aria-hidden />}
          disabled={drawing.past.length === 0}
          onClick={() => onEvent({ type: "undo" })}
        >
          {t("undo")}
        </Button>
        <Button
          look="quiet"
          icon={<Trash2 aria-hidden />}
          disabled={drawing.chosen === undefined}
          onClick={() => onEvent({ type: "remove" })}
        >
          {t("draw.removePoint")}
        </Button>
      </div>
      {isClosed(drawing.kind) && set === undefined ? (
        <p className="small">{t("draw.needsWall")}</p>
      ) : null}
      {extent === undefined ? null : (
        <>
          <ExtentList
            measurements={extent.measurements}
            areaMm2={extent.areaMm2?.value ?? null}
            areaStandardUncertaintyMm2={extent.areaMm2?.standardUncertainty ?? null}
          />
          <Findings findings={extent.findings} />
        </>
      )}
      <TextField
        label={t("draw.label")}
        value={label}
        onChange={setLabel}
        maxLength={120}
        isOptional
      />
      {keep.error === null ? null : <ErrorState error={keep.error} />}
      <div className="row">
        <Button
          look="primary"
          icon={<Save aria-hidden />}
          isBusy={keep.isPending}
          disabled={missing > 0}
          onClick={save}
        >
          {t("draw.keep")}
        </Button>
        <Button look="quiet" onClick={() => onEvent({ type: "end" })}>
          {t("common:cancel")}
        </Button>
      </div>
    </div>
  );
};
